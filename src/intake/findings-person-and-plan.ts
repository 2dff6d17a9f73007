import { type Finding, forms, yesNo } from './finding.js'

const ALPHA_BLOCKER_TAKEN = {
  current: forms('current | now | currently | on | taking | takes | ongoing | at present'),
  past: forms(
    'past | previously | stopped | previous | ex | former | in the past | discontinued | used to take | ' +
      'prior | formerly | off | history of | past use | was on | until | came off | years ago | took',
  ),
}

/** What is known of the person, and what is planned. */
export const PERSON_AND_PLAN_FINDINGS: readonly Finding[] = [
  yesNo('glaucoma', 'glaucoma', forms('glaucoma | poag | glaucomatous | pacg | ntg | glc | known glaucoma | coag')),
  yesNo(
    'steroidResponder',
    'steroid responder',
    forms('steroid responder | steroid response | steroid-induced iop rise | responds to steroid'),
  ),
  yesNo(
    'onlyEye',
    'only seeing eye',
    forms(
      'only eye | single eye | only seeing eye | only good eye | monocular | one eyed | functionally monocular | ' +
        'only useful eye',
    ),
  ),
  yesNo('amblyopia', 'amblyopia', forms('amblyopia | amblyopic | lazy eye | amblyope')),
  yesNo(
    'strabismus',
    'strabismus',
    forms('strabismus | squint | esotropia | exotropia | xt | heavy eye | squint surgery | strabismic'),
  ),
  yesNo(
    'ocularTrauma',
    'previous eye injury',
    forms(
      'trauma | ocular trauma | eye injury | previous trauma | blunt trauma | previous eye injury | ' +
        'eye trauma | history of trauma | injury',
    ),
  ),
  yesNo('toricPlanned', 'toric lens planned', forms('toric | toric planned | toric lens | toric iol | toric lens planned')),
  yesNo(
    'separateConstantsAsked',
    'separate constants for plus and minus powers asked for',
    forms(
      'separate constants | separate constants for plus and minus | separate constants for plus and minus powers | ' +
        ' separate plus and minus constants',
    ),
  ),
  yesNo(
    'multifocalPlanned',
    'multifocal lens planned',
    forms('multifocal | multifocal lens | multifocal iol | trifocal | edof | multifocal planned | ' + 'multifocal lens planned'),
  ),
  yesNo(
    'siliconeOpticPlanned',
    'silicone optic planned',
    forms('silicone optic | silicone lens | silicone iol | silicone optic planned'),
  ),
  yesNo(
    'capsularRingPlanned',
    'capsular tension ring planned',
    forms('ctr | capsular tension ring | ctr planned | ring planned | capsular ring | ' + 'capsular tension ring planned'),
  ),
  yesNo(
    'activeInfusion',
    'actively pressurised infusion',
    forms(
      'active infusion | active fluidics | pressurised infusion | pressurized infusion | forced infusion | ' +
        'actively pressurised | actively pressurised infusion | actively pressurized | ' +
        'active pressurised infusion',
    ),
    {
      false: forms(
        'gravity infusion | gravity fed | gravity fed infusion | infusion by gravity | fed by gravity | by gravity | ' +
          'bottle by gravity | gravity bottle | gravity',
      ),
    },
  ),
  {
    field: 'canLieFlat',
    label: 'can lie flat',
    names: forms('lie flat | lies flat | lying flat | can lie flat | able to lie flat'),
    present: true,
    absent: false,
    phrases: {
      false: forms(
        "cannot lie flat | can't lie flat | cant lie flat | unable to lie flat | not able to lie flat | " +
          'can not lie flat | does not lie flat | unable lie flat | orthopnoea | orthopnea',
      ),
    },
  },
  {
    field: 'alphaBlocker',
    label: 'alpha blocker',
    names: forms(
      'alpha blocker | alpha-blocker | alpha blockers | alphablocker | a-blocker | alpha 1 blocker | alpha-1 blocker | ' +
        'alpha antagonist | alpha antagonists | alpha 1 antagonist',
    ),
    present: 'current',
    absent: 'never',
    answers: { ...ALPHA_BLOCKER_TAKEN, never: forms('never | none | nil | never taken | never had') },
  },
  // One drug that is not taken says nothing of the others.
  {
    field: 'alphaBlocker',
    label: 'alpha blocker',
    names: forms('tamsulosin | doxazosin | alfuzosin | silodosin | terazosin | prazosin'),
    present: 'current',
    answers: ALPHA_BLOCKER_TAKEN,
  },
  {
    field: 'anticoagulant',
    label: 'anticoagulant or antiplatelet',
    names: forms(
      'anticoagulant | anticoagulants | anticoagulation | blood thinners | blood thinner | anticoag | anticoags | ' +
        'anticoagulated',
    ),
    present: 'other',
    absent: 'none',
    answers: {
      none: forms('none | nil'),
      warfarin: forms('warfarin'),
      doac: forms('doac | noac | apixaban | rivaroxaban | dabigatran | edoxaban'),
      antiplatelet: forms('antiplatelet | aspirin | clopidogrel'),
      other: forms('other | heparin | enoxaparin'),
    },
    phrases: { none: forms('no antithrombotics | no anticoagulants or antiplatelets | no blood thinners') },
  },
  {
    field: 'anticoagulant',
    label: 'warfarin',
    names: forms('warfarin | acenocoumarol | phenprocoumon | coumarin'),
    present: 'warfarin',
  },
  {
    field: 'anticoagulant',
    label: 'direct oral anticoagulant',
    names: forms('apixaban | rivaroxaban | dabigatran | edoxaban | doac | noac'),
    present: 'doac',
  },
  {
    field: 'anticoagulant',
    label: 'antiplatelet',
    names: forms(
      'aspirin | clopidogrel | ticagrelor | prasugrel | dipyridamole | antiplatelet | antiplatelets | ' +
        'dual antiplatelet | asa',
    ),
    present: 'antiplatelet',
  },
  {
    field: 'anticoagulant',
    label: 'heparin',
    names: forms('heparin | enoxaparin | dalteparin | lmwh | tinzaparin'),
    present: 'other',
  },
  {
    field: 'diabetes',
    label: 'diabetes',
    names: forms(
      'diabetes | diabetic | dm | t2dm | t1dm | iddm | niddm | type 2 diabetes | type 1 diabetes | ' +
        'type 2 dm | type 1 dm | dm2 | dm1 | type 2 diabetic | type 1 diabetic | diabetes mellitus',
    ),
    present: 'diabetes',
    absent: 'none',
    phrases: {
      'without-retinopathy': forms(
        'diabetes without retinopathy | diabetic without retinopathy | diabetes no retinopathy | diabetic no retinopathy | ' +
          'diabetes but no retinopathy | diabetic but no retinopathy',
      ),
    },
  },
  {
    field: 'diabetes',
    label: 'diabetic retinopathy',
    names: forms(
      'diabetic retinopathy | dr | npdr | pdr | bdr | retinopathy | background retinopathy | ' +
        'proliferative retinopathy | diabetes with retinopathy | diabetic maculopathy',
    ),
    present: 'retinopathy',
    absent: 'no-retinopathy',
  },
  {
    field: 'anaesthesia',
    label: 'anaesthesia',
    names: forms('anaesthesia | anesthesia | anaesthetic | la'),
    answers: { 'sub-tenon': forms('sub-tenon | st') },
    phrases: {
      topical: forms('topical | topical anaesthesia | topical la | drops only'),
      'topical-intracameral': forms(
        'topical intracameral | topical-intracameral | topical + intracameral | topical and intracameral | ' +
          'topical plus intracameral | topical/intracameral | topical with intracameral | ' +
          'intracameral lidocaine | intracameral la',
      ),
      'sub-tenon': forms(
        "sub-tenon | subtenon | sub-tenons | sub-tenon's | subtenons | subtenon's | stb | sub tenon block | " +
          "sub-tenon's block | sub tenons block | st block",
      ),
      peribulbar: forms('peribulbar | peribulbar block | pbb'),
      retrobulbar: forms('retrobulbar | retrobulbar block | rbb'),
      general: forms('ga | general anaesthesia | general anaesthetic | general anesthesia | under ga'),
    },
  },
  {
    field: 'technique',
    label: 'technique',
    names: forms('technique'),
    phrases: {
      chop: forms('chop | phaco chop | horizontal chop | vertical chop | direct chop | phaco-chop | quick chop | ' + 'prechop'),
      'divide-and-conquer': forms('divide and conquer | divide-and-conquer | divide & conquer | d&c | d and c'),
      'stop-and-chop': forms('stop and chop | stop-and-chop | stop & chop'),
      'manual-small-incision': forms(
        'msics | sics | manual small incision | manual sics | manual small-incision | ' +
          'manual small incision cataract surgery | manual extraction',
      ),
      extracapsular: forms('ecce | extracapsular | extracapsular extraction | extracap'),
    },
  },
]
