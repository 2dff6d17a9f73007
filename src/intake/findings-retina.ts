import { type Finding, forms, yesNo } from './finding.js'

/** What may be found behind the lens, and in the fellow eye. */
export const RETINA_FINDINGS: readonly Finding[] = [
  yesNo(
    'newFloaters',
    'new floaters or flashes',
    forms(
      'new floaters | new flashes | flashes and floaters | floaters | flashes | photopsia | recent floaters | ' +
        'new floaters or flashes',
    ),
  ),
  yesNo(
    'familyRetinalDetachment',
    'retinal detachment in the family',
    forms(
      'family history of rd | fh rd | family rd | fhx rd | family history of retinal detachment | ' +
        'family history rd | fh retinal detachment | family hx rd | family hx of rd | fhx of rd | fh of rd | ' +
        'family hx retinal detachment | family hx of retinal detachment | mother had rd | father had rd | brother had rd | ' +
        'sister had rd',
    ),
  ),
  yesNo(
    'previousVitrectomy',
    'previous vitrectomy',
    forms(
      'vitrectomy | previous vitrectomy | ppv | previous ppv | prior ppv | prior vitrectomy | vitrectomised | ' +
        'vitrectomized | post vitrectomy | post ppv | s/p ppv | past ppv | ' +
        'past vitrectomy | pars plana vitrectomy',
    ),
  ),
  {
    field: 'siliconeOil',
    label: 'silicone oil in the eye',
    names: forms(
      'silicone oil | silicon oil | oil in situ | silicone oil in situ | silicon oil in situ | oil filled | oil-filled | ' +
        'silicone filled | silicone oil filled | silicone oil fill | oil fill | oil tamponade | silicone oil tamponade | ' +
        'silicone oil in the eye | silicone oil eye',
    ),
    present: true,
    absent: false,
    answers: {
      true: forms('still in | in place | in eye'),
      false: forms('removed | out | already out | was removed | has been removed | taken out'),
    },
    phrases: {
      false: forms('oil removed | oil out | oil already out | roso | after oil removal | post oil removal | oil removal done'),
    },
  },
  {
    field: 'fundusView',
    label: 'fundus view',
    names: forms(
      'fundal view | fundus view | view | fundus | fundoscopy | funduscopy | view of fundus | ' +
        'view of the fundus | retinal view | view to fundus',
    ),
    absent: 'none',
    answers: {
      none: forms('nil | none | impossible | not visible | not seen | obscured | no details | absent | not visualised'),
      partial: forms('hazy | poor | partial | limited | dim | blurred | glimpse | obscure | very hazy | difficult | fair'),
      clear: forms('clear | good | full | normal | adequate | visible | seen | well seen'),
    },
    phrases: {
      none: forms(
        'no view | no fundal view | no fundus view | cannot see fundus | cannot see the fundus | ' +
          "can't see fundus | no view of fundus | no view of the fundus | fundus not visible | fundus not seen | " +
          'view not possible | no fundus details | no retinal view | no view to fundus | no fundal details',
      ),
    },
  },
  {
    field: 'bScan',
    label: 'B-scan',
    names: forms(
      'b-scan | bscan | b scan | us b-scan | b-scan us | b-scan ultrasound | retina on b-scan | ' +
        'ultrasound b-scan | b-scan retina',
    ),
    absent: 'not-done',
    answers: {
      flat: forms(
        'flat | retina flat | attached | retina attached | no rd | no detachment | no retinal detachment | ' +
          'flat retina | normal | ok | nad | shows flat retina | clear | shows retina flat | retina is flat',
      ),
      detached: forms('detached | rd | retinal detachment | retina detached | shows rd | shows detachment | detachment'),
      'other-finding': forms(
        'vitreous haemorrhage | vitreous hemorrhage | mass | other finding | abnormal | membrane | membranes | ' +
          'vh | choroidal detachment | asteroid',
      ),
      'not-done': forms('not done | not performed | not yet done | nil | not done yet | outstanding | to be done | no'),
    },
    phrases: {
      flat: forms('retina flat on b-scan | retina flat | flat retina | retina flat on us'),
      'not-done': forms('no b-scan | no bscan | no b scan | b-scan needed'),
    },
  },
  {
    field: 'staphyloma',
    label: 'staphyloma',
    names: forms(
      'staphyloma | posterior staphyloma | staph | post staphyloma | post staph | post. staph | post. staphyloma | staphylomatous',
    ),
    present: 'present',
    absent: 'absent',
    answers: { present: forms('present | seen | yes'), absent: forms('absent | nil | none | no') },
  },
  {
    field: 'macula',
    label: 'macula',
    names: forms('macula | macular | maculae | mac'),
    answers: {
      normal: forms('normal | healthy | ok | fine | nad | flat | clear | good | unremarkable | dry'),
      atrophy: forms('atrophy | atrophic | geographic atrophy | atrophic changes | scar'),
      foveoschisis: forms('foveoschisis | schisis'),
      hole: forms('hole'),
      traction: forms('traction | vmt | epiretinal membrane | erm'),
      neovascular: forms('neovascular | cnv | mcnv | neovascularisation | neovascularization | wet'),
      'other-finding': forms('other finding | oedema | edema | abnormal | drusen'),
    },
    phrases: {
      atrophy: forms('macular atrophy | myopic atrophy | geographic atrophy'),
      foveoschisis: forms('foveoschisis | myopic foveoschisis | macular schisis'),
      hole: forms('macular hole | mac hole | ftmh'),
      traction: forms('macular traction | vmt | epiretinal membrane | erm | vitreomacular traction'),
      neovascular: forms(
        'cnv | myopic cnv | mcnv | wet amd | namd | choroidal neovascularisation | lacquer cracks and cnv | ' +
          'choroidal neovascular membrane',
      ),
      'other-finding': forms('macular oedema | macular edema | cmo | cme | dry amd | amd | drusen | dmo | dme'),
    },
  },
  {
    field: 'macularOct',
    label: 'macular OCT',
    names: forms('oct | macular oct | oct macula | mac oct | macula oct'),
    absent: 'not-done',
    answers: {
      done: forms('done | normal | performed | ok | available'),
      'not-done': forms('not done | not performed | not yet | outstanding | not yet done | no | nil'),
      'not-possible': forms('not possible | no signal | impossible | failed | unable | ungradable | no view'),
    },
  },
  {
    field: 'periphery',
    label: 'peripheral retina',
    names: forms('periphery | peripheral retina | retinal periphery'),
    answers: {
      normal: forms('normal | flat | ok | clear | nad | fine | no breaks'),
      lattice: forms('lattice'),
      'untreated-tear': forms('untreated tear | tear | hole | break | untreated break'),
      treated: forms('treated | lasered | laser | retinopexy | treated tear | treated with laser'),
      detached: forms('detached | rd'),
    },
    phrases: {
      lattice: forms('lattice | lattice degeneration | untreated lattice'),
      'untreated-tear': forms(
        'retinal tear | untreated tear | untreated retinal tear | retinal break | retinal hole | ' +
          'untreated break | horseshoe tear | peripheral tear',
      ),
      treated: forms(
        'treated tear | lasered tear | lasered lattice | treated lattice | previous retinopexy | retinopexy | ' +
          'laser retinopexy | treated retinal tear | rd repair | rd repaired | repaired rd | rd surgery | rd op | ' +
          'retinal detachment repair | retinal detachment repaired | repaired retinal detachment | ' +
          'retinal detachment surgery | detachment repair | detachment repaired',
      ),
      detached: forms('retinal detachment | rd | detached retina | retina detached | retinal detachment present'),
    },
  },
  {
    field: 'vitreous',
    label: 'posterior vitreous',
    names: forms('pvd | posterior vitreous detachment'),
    present: 'detached',
    absent: 'attached',
    phrases: {
      attached: forms('vitreous attached | hyaloid attached | attached hyaloid | attached vitreous'),
      detached: forms('vitreous detached | hyaloid detached | weiss ring | complete pvd'),
    },
  },
  yesNo(
    'fellow.capsuleRupture',
    'capsule rupture in the fellow eye',
    forms(
      'pcr in fellow eye | pcr fellow eye | pcr fellow | pcr in fellow | pcr in other eye | capsule rupture in fellow eye | ' +
        'fellow eye pcr | fellow eye capsule rupture | pcr first eye | pcr in first eye | ' +
        'capsule rupture in the fellow eye | first eye pcr',
    ),
  ),
  yesNo(
    'fellow.retinalDetachment',
    'retinal detachment in the fellow eye',
    forms(
      'rd in fellow eye | rd fellow eye | rd fellow | rd in fellow | rd in other eye | fellow eye rd | other eye rd | ' +
        'retinal detachment in fellow eye | fellow eye retinal detachment | ' +
        'retinal detachment in the fellow eye | first eye rd | rd in the other eye | rd other eye',
    ),
  ),
]
