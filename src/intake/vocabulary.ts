import { METHOD_FORMS } from './axial-length-methods.js'
import { MONTH_WORDS } from './calendar.js'
import { EVERYDAY_WORDS } from './everyday-words.js'
import {
  ANSWER_PHRASES,
  DOUBTS,
  FINDING_NAMES,
  FINDING_PHRASES,
  NEGATIONS,
  NO,
  PAST_AFTER,
  PAST_BEFORE,
  YES,
} from './finding-tables.js'
import { CONNECTING } from './ignorable.js'
import { UNKNOWN_MARKS } from './marks.js'
import { type Phrases, wordsOf } from './phrases.js'
import { ACUITY_NAMES, ACUITY_WORDS } from './read-acuity.js'
import { BIOMETRY_DATE_FORMS, DATE_FORMS } from './read-dates.js'
import { EYE_FORMS, FELLOW_FORMS } from './read-eye.js'
import { INDEX_FORMS } from './read-index.js'
import { KERATOMETRY_FORMS } from './read-keratometry.js'
import { CONSTANT_FORMS, MODALITY_FORMS } from './read-lens.js'
import { DILATED_FORMS, ORIGIN_FORMS, QUANTITY_FORMS, QUANTITY_FORMS_AFTER } from './read-measurement.js'
import { COLOUR_PHRASES, NUCLEUS_WORDS, SCALE_PHRASES } from './read-nucleus.js'
import { AGE_NAMES, AGE_WORDS, SEX_FORMS, SEX_NAMES } from './read-person.js'
import { PREDICTION_ERROR_FORMS } from './read-prediction-error.js'
import { PLANO_FORMS, REFRACTION_FORMS } from './read-refraction.js'
import { GRADE_FORMS, STANDING_BY, SUPERVISED, SURGEON_NAMES } from './read-surgery.js'
import { TARGET_FORMS } from './read-target.js'
import { UNIT_FORMS } from './units-written.js'

const TABLES: readonly Phrases<unknown>[] = [
  UNKNOWN_MARKS,
  ACUITY_NAMES,
  ACUITY_WORDS,
  EYE_FORMS,
  FELLOW_FORMS,
  ...ANSWER_PHRASES,
  DOUBTS,
  FINDING_NAMES,
  FINDING_PHRASES,
  NEGATIONS,
  NO,
  PAST_AFTER,
  PAST_BEFORE,
  YES,
  INDEX_FORMS,
  KERATOMETRY_FORMS,
  CONSTANT_FORMS,
  MODALITY_FORMS,
  DILATED_FORMS,
  METHOD_FORMS,
  ORIGIN_FORMS,
  QUANTITY_FORMS,
  QUANTITY_FORMS_AFTER,
  COLOUR_PHRASES,
  NUCLEUS_WORDS,
  SCALE_PHRASES,
  AGE_NAMES,
  AGE_WORDS,
  SEX_FORMS,
  SEX_NAMES,
  PLANO_FORMS,
  REFRACTION_FORMS,
  TARGET_FORMS,
  BIOMETRY_DATE_FORMS,
  DATE_FORMS,
  GRADE_FORMS,
  STANDING_BY,
  SUPERVISED,
  SURGEON_NAMES,
  PREDICTION_ERROR_FORMS,
  UNIT_FORMS,
]

/** Trade words and everyday words that begin a sentence or a heading with a capital and are no names. */
const OTHER_WORDS =
  'able about above advice advise advised after again against aim all also although always am among another any anyone anterior approach are around ask asked assess assessment avoid aware back bag ' +
  'backup balance ballooning barrier based because been before best better between biaxial big block both bottle break bring but call can cannot capsular capsule capsulorhexis capsulotomy care case cell ' +
  'cells central chair chamber chance change changes check choice choose chronic clear clinic close closure clouds colleague colleagues comment comments complex concern concerned consent consider continue ' +
  'convert cooperate corneal cortex cortical could count course curious current cut data day days decide deep depth did difficult dilate dilated dilating discuss discussed dispersive do does done door dose ' +
  'double down drops dry due dye each early easy either else end enough especially even ever every exam expect experience explained extra extraction extreme eyes fail failed fair family far feel few find fine ' +
  'first fluid fluidics follow following form formula found from full further general get give given gives good great group had half hand hard has have hear help here high his history hold holladay hoffer ' +
  'haigis hook hooks hope how however hydrodissection hydrodelineation if image imaging impact implant important improve in increase index infusion injected injection inside insert instead intact interest into iol ' +
  'iris is issue it its itself just keep keratoconus key kind know known large laser last late later lattice leak leave left length lens less let level life light like limited line list little local long look ' +
  'looking lot low lower lowered main make many master may maybe mean means measure measured mechanical medical method mid might mild mind miss mode model moderate more morning most move much must my myopia myopic ' +
  'near need needed needle never new next nice night no none normal not nothing now nuclear nucleus number ocular of off often ok okay old on once one only open operate operation optic optical optimal option ' +
  'options or order other our out over own pain panel parameters part past patient per perform perhaps peripheral phaco piece placement plan planned planning please point poor possible post posterior power prefer ' +
  'preop preoperative pressure prevent previous prior probably problem proceed pupil put query question questions quick quite range rather reading ready really reason recent recommend recommended record refer ' +
  'referral referred reflex refraction regarding registrar remove repeat report request result results retina retinal retrobulbar reverse review rhexis right ring rings risk risks room round rupture safe same scan ' +
  'second section see seen segment send senior serious session set several severe shall shallow share she short should show side sign signs similar simple since size slit small so soft some someone something ' +
  'soon spacer special stable staged stain start starting status steep step steps still stop strategy strong study such suggest suggestion suggestions sulcus summary superior support sure surgeon surgery surgical suspect ' +
  'suture sutures swept table take taken takes target team technique temporal tension test than thank thanks that the their them then there these they thick thin thing think third this those though thought ' +
  'thoughts three through time tip to today together too top toric total total tough toward trainee treat treated treatment tried trocar trust try trypan blue tunnel two type unable uncertain under unit unless unlikely until ' +
  'up update upper urgent us use used useful using usual usually vacuum value values very via view viscoelastic visco vision visit visual vitreous vs wait want was way we weak week weeks well went were what when ' +
  'where whether which while white who why wide will wish with within without work worried worry worse would wound write yes yet you young your yours zonular zonule zonules axial biometry spherical equivalent ' +
  'high-myope myope myopes highly extremely eye unit ward theatre theatres day-case department hospital centre center consult monday tuesday wednesday thursday friday saturday sunday english british urgent routine ' +
  'mr. emery buratto locs bcn who srk wang koch hydrus glued scleral fixated fixation anisometropia contact hba1c bp copd asthma hypertension hypertensive allergy allergic allergies nka nkda ' +
  'anxious deaf dementia parkinson parkinsons tremor kyphosis obese copd cpap stroke tia mi af angina pacemaker metformin insulin amlodipine ramipril atorvastatin statin bisoprolol latanoprost timolol steroid ' +
  'steroids prednisolone penicillin iodine latex uveitis iritis synechiae iridodonesis nystagmus ptosis blepharitis myopathy marfan homocystinuria retinitis pigmentosa albinism coloboma aniridia nanophthalmos ' +
  'lying supine neck back breathless cough interpreter speaks language carer lives alone driver drives keen happy wants monovision spectacle independence reads distance reading computer ' +
  'horizontal vertical sculpt trench groove crater quadrant femto femtosecond femtolaser snare manual small incision wire loop ecce icce msics sics pars plana phakic emulsification torsional longitudinal ' +
  'cohesive hyaluronate trypan intracameral phenylephrine lidocaine adrenaline carbachol cefuroxime antibiotic subconj acetazolamide mannitol massage tamponade vitrectomy anterior-vitrectomy'

let words: ReadonlySet<string> | undefined

/** Put together when the first text is read: a start need not wait for it. */
function knownWords(): ReadonlySet<string> {
  words ??= new Set([
    ...TABLES.flatMap((table) => wordsOf(table)),
    ...CONNECTING,
    ...MONTH_WORDS,
    ...OTHER_WORDS.split(/[ -]/),
    ...EVERYDAY_WORDS,
  ])
  return words
}

const ENDINGS: readonly (readonly [ending: string, stems: readonly string[]])[] = [
  ['s', ['']],
  ['es', ['']],
  ['ies', ['y']],
  ['ied', ['y']],
  ['ed', ['', 'e']],
  ['ing', ['', 'e']],
  ['ly', ['', 'le', 'e']],
  ['ily', ['y']],
]
const DOUBLED = /([b-df-hj-np-tv-z])\1$/

/** Long words with an ending of learned or drug names: hardly ever a surname, and too many to list. */
const LEARNED =
  /^\p{L}{4,}(?:tion|sion|ology|osis|itis|otomy|ectomy|plasty|scopy|graphy|metry|opathy|trophy|phakia|opia|ity|mycin|cillin|azole|amide|caine|olol|sartan|statin|idase)$|^\p{L}{6,}(?:tic|mic|ment|ness|ous)$/u

/** Whether a word is of the trade or an everyday one, and so no name. Plurals and forms in -ed, -ing and -ly count with their stem. */
export function isVocabulary(lower: string): boolean {
  const known = knownWords()
  if (known.has(lower) || LEARNED.test(lower)) return true
  return ENDINGS.some(([ending, stems]) => {
    if (!lower.endsWith(ending)) return false
    const stem = lower.slice(0, -ending.length)
    // "stopping" is "stop" with its last letter twice.
    return (
      stems.some((rest) => known.has(`${stem}${rest}`)) || (ending !== 's' && DOUBLED.test(stem) && known.has(stem.slice(0, -1)))
    )
  })
}
