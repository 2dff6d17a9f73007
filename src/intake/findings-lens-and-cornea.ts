import { type Finding, forms, yesNo } from './finding.js'

/** What may be found at the slit lamp. */
export const LENS_AND_CORNEA_FINDINGS: readonly Finding[] = [
  yesNo(
    'pseudoexfoliation',
    'pseudoexfoliation',
    forms(
      'pxf | pex | psx | xfs | pseudoexfoliation | pseudo exfoliation | pseudo-exfoliation | exfoliation | ' +
        'pxf material | pxe',
    ),
  ),
  yesNo(
    'whiteCataract',
    'white or mature cataract',
    forms(
      'white cataract | white | mature cataract | mature | hypermature | hypermature cataract | intumescent | ' +
        'intumescent cataract | morgagnian | total cataract | mature white cataract | white mature cataract | ' +
        'totally white',
    ),
  ),
  yesNo(
    'posteriorPolarCataract',
    'posterior polar cataract',
    forms('posterior polar | posterior polar cataract | ppc | post polar | post polar cataract'),
  ),
  yesNo(
    'posteriorCapsulePlaque',
    'posterior capsule plaque',
    forms('posterior capsule plaque | posterior capsular plaque | capsule plaque | pc plaque | capsular plaque'),
  ),
  yesNo('cornealScar', 'corneal scar', forms('corneal scar | corneal scarring | corneal opacity | corneal opacities | k scar')),
  yesNo(
    'fuchsDystrophy',
    'Fuchs dystrophy',
    forms(
      "fuchs | fuchs' | fuchs dystrophy | fuchs' dystrophy | fuch's | fuchs's | fed | fecd | guttata | " +
        "guttatae | guttae | corneal guttata | endothelial dystrophy | fuch's dystrophy",
    ),
  ),
  yesNo(
    'morningBlur',
    'morning blur',
    forms('morning blur | worse in the morning | morning misting | blur in the morning | morning haze'),
  ),
  yesNo(
    'previousRefractiveSurgery',
    'previous corneal refractive surgery',
    forms(
      'lasik | previous lasik | prk | previous prk | rk | radial keratotomy | lasek | smile | ' +
        'previous refractive surgery | refractive surgery | laser refractive surgery | post lasik | ' +
        'laser vision correction | corneal refractive surgery | previous corneal refractive surgery | ' +
        'prior lasik',
    ),
  ),
  yesNo(
    'keratoconus',
    'keratoconus',
    forms(
      'keratoconus | keratoconic | kc | kcn | corneal ectasia | ectasia | pellucid | pellucid marginal degeneration | keratectasia',
    ),
  ),
  {
    field: 'contactLenses',
    label: 'contact lenses',
    names: forms(
      'contact lenses | contacts | contact lens wear | contact lens wearer | contact lenses wearer | cl wear | ' +
        'cl wearer | cls | ctls | contact lens use | contact lens user',
    ),
    present: 'worn',
    absent: 'none',
    answers: {
      none: forms('none | nil | not worn | never worn | never'),
      soft: forms('soft | soft daily | daily disposable | monthly'),
      rigid: forms('rigid | rgp | hard | gas permeable | rigid gas permeable | scleral | ortho-k'),
      worn: forms('worn | wears | wearing | wore'),
    },
    phrases: {
      soft: forms('soft cl | soft cls | soft lens wearer | daily disposables'),
      rigid: forms(
        'rgp | rgps | rgp lenses | rgp wear | rgp wearer | rgp contact lens wearer | rgp contact lens | rigid lenses | ortho-k | hard contact lens wearer',
      ),
      worn: forms(
        'cl off | cl out | cls off | cls out | contacts out | contacts off | contact lenses out | contact lenses off | out of contacts | ' +
          'out of contact lenses | contact lens holiday | wears contacts | wears cls | wears contact lenses | wearing contact lenses | contact lens wearer',
      ),
    },
  },
  {
    ...yesNo(
      'phakicLens',
      'lens implanted in front of the own lens',
      forms(
        'phakic iol | phakic iols | phakic lens | phakic intraocular lens | phakic lens implant | phakic implant | piol | p-iol | ' +
          'iris claw phakic iol | iris-claw lens | iris claw lens | posterior chamber phakic iol | anterior chamber phakic iol',
      ),
    ),
    answers: {
      true: forms('in situ | in place | still in | in eye'),
      false: forms('removed | removal | explanted | explantation | out | taken out | already out | was removed'),
    },
  },
  {
    ...yesNo('opticalBiometryFailed', 'optical biometry failed', []),
    phrases: {
      true: forms(
        'optical biometry failed | optical failed | failed optical | optical not possible | ' +
          'optical biometry not possible | no optical biometry | no optical | optical biometry impossible | ' +
          'optical impossible | unable optical | optical could not | failed optical biometry | ' +
          "optical biometry unable | optical wont go through | optical won't go through | optical wont go | optical won't go | optical wont work | " +
          "optical won't work | optical did not work | optical didn't work | optical would not go through | cannot get optical | can't get optical",
      ),
      false: forms('optical biometry worked | optical biometry possible | optical biometry did not fail'),
    },
  },
  yesNo(
    'uveitis',
    'uveitis',
    forms(
      'uveitis | anterior uveitis | chronic uveitis | chronic anterior uveitis | iritis | panuveitis | intermediate uveitis | ' +
        'posterior uveitis | uveitic | uveitic cataract | iridocyclitis | recurrent uveitis | aau | cau | ' +
        'heterochromic cyclitis | heterochromic iridocyclitis',
    ),
  ),
  yesNo(
    'posteriorSynechiae',
    'posterior synechiae',
    forms(
      'posterior synechiae | post synechiae | synechiae | ps 360 | 360 posterior synechiae | pupil stuck down | seclusio pupillae | ' +
        'posterior synechia | iris stuck down | stuck pupil',
    ),
  ),
  {
    field: 'redReflex',
    label: 'red reflex',
    names: forms('red reflex | rr | reflex'),
    present: 'present',
    absent: 'absent',
    answers: { present: forms('good | present | normal | seen | clear'), absent: forms('absent | poor | lost | nil | none') },
  },
  {
    field: 'zonules',
    label: 'zonules',
    names: forms('zonules | zonule | zonular | zonular support | zonules status | zonular status'),
    answers: {
      normal: forms('normal | ok | intact | good | fine | stable | strong'),
      weak: forms('weak | loose | weakness | lax | laxity | poor | instability | doubtful | deficient | unstable'),
      phacodonesis: forms('phacodonesis'),
    },
    phrases: {
      weak: forms(
        'zonular weakness | zonulopathy | zonular laxity | weak zonules | zonular instability | loose zonules | ' +
          'subluxed | subluxated | subluxation',
      ),
      phacodonesis: forms('phacodonesis | wobbly lens | lens wobble'),
    },
  },
  {
    field: 'lensStatus',
    label: 'lens status',
    names: forms('lens status'),
    answers: { phakic: forms('phakic'), pseudophakic: forms('pseudophakic'), aphakic: forms('aphakic') },
    phrases: {
      phakic: forms('phakic | has cataract | unoperated | not operated'),
      pseudophakic: forms(
        'pseudophakic | pseudophakia | pseudophake | already done | iol in situ | pciol | already operated | ' +
          'has iol | pciol in situ',
      ),
      aphakic: forms('aphakic | aphakia | aphake | left aphakic'),
    },
  },
]
