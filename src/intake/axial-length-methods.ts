import type { Case } from '../case/case.js'
import { phrases } from './phrases.js'
import { type Fact, fact } from './reading.js'

type Method = NonNullable<Case['axialLengthMethod']>['value']
const METHODS: Readonly<Record<Method, readonly string[]>> = {
  optical: [
    'optical',
    'optical biometry',
    'swept source',
    'swept-source',
    'ss oct',
    'ss-oct',
    'pci',
    'partial coherence',
    'laser',
    'by optical',
    'opt',
  ],
  'optical-segments': ['sum of segments', 'optical segments', 'optical sum of segments', 'segmented', 'segmental'],
  immersion: [
    'immersion',
    'immersion us',
    'immersion ultrasound',
    'immersion a-scan',
    'immersion b-guided',
    'immersion a scan',
    'a-scan immersion',
    'a scan immersion',
  ],
  contact: [
    'contact',
    'contact us',
    'contact ultrasound',
    'contact a-scan',
    'applanation',
    'applanation a-scan',
    'applanation us',
    'applanation ultrasound',
    'a-scan contact',
    'a scan contact',
  ],
  ultrasound: ['ultrasound', 'a-scan', 'us', 'us biometry', 'ascan', 'ultrasonic'],
}
const METHOD_WORDS: Readonly<Record<Method, string>> = {
  optical: 'optical',
  'optical-segments': 'optical, sum of segments',
  immersion: 'immersion ultrasound',
  contact: 'contact ultrasound',
  ultrasound: 'ultrasound, how not said',
}
export const METHOD_FORMS = phrases(
  (Object.keys(METHODS) as Method[]).flatMap((method) => METHODS[method].map((form) => [form, method] as const)),
)
/** How the axial length was measured, as a fact. */
export const methodFact = (method: Method): Fact =>
  fact('axialLengthMethod', 'how the axial length was measured', method, METHOD_WORDS[method])
