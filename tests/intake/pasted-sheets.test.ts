import { describe, expect, it } from 'vitest'
import { caseFrom, valuesFrom } from './reading-of.js'

/** Biometry as it is pasted from sheets of different make-up; invented values. */
const SHEET = { axialLengthMm: 29.84, anteriorChamberDepthMm: 3.41, lensThicknessMm: 4.72 }
const PASTED: readonly (readonly [name: string, text: string, values: object])[] = [
  [
    'names and values',
    'OD\nAL: 29.84 mm (SD 0.02 mm, SNR 118.5)\nACD: 3.41 mm\nLT: 4.72 mm\nCCT: 541 µm\nWTW: 11.9 mm\nK1: 43.27 D @ 5°\nK2: 44.41 D @ 95°',
    {
      ...SHEET,
      eye: 'right',
      axialLengthSdMm: 0.02,
      axialLengthSnr: 118.5,
      centralCornealThicknessUm: 541,
      keratometry: { flatAxisDeg: 5, steepAxisDeg: 95 },
    },
  ],
  [
    'two columns',
    '            OD        OS\nAL [mm]     29.84     28.96\nACD [mm]    3.41      3.44\nLT [mm]     4.72      4.65\nK1 [D]      43.27     43.83\nK2 [D]      44.41     44.50\noperate OD',
    { ...SHEET, eye: 'right', fellow: { axialLengthMm: 28.96, lensThicknessMm: 4.65, meanKeratometryD: 44.165 } },
  ],
  [
    'two columns parted by tabs',
    'operate OS\nOD\tOS\nAL\t29.84\t28.96\nK1\t43.27 @ 5\t43.83 @ 170\nK2\t44.41 @ 95\t44.50 @ 80\nLT\t---\t4.65',
    {
      eye: 'left',
      axialLengthMm: 28.96,
      lensThicknessMm: 4.65,
      keratometry: { flatAxisDeg: 170 },
      fellow: { axialLengthMm: 29.84, meanKeratometryD: 43.84 },
    },
  ],
  [
    'two columns parted by single blanks',
    'LE for surgery\nRE LE\nAL 29.84 28.96\nECD 2180 2250',
    {
      eye: 'left',
      axialLengthMm: 28.96,
      endothelialCellDensityPerMm2: 2250,
      fellow: { axialLengthMm: 29.84, endothelialCellDensityPerMm2: 2180 },
    },
  ],
  [
    'comma decimals',
    'RE  AL 29,84  ACD 3,41  LT 4,72  K1 43,27/5  K2 44,41/95',
    { ...SHEET, eye: 'right', keratometry: { flatD: 43.27, flatAxisDeg: 5 } },
  ],
  [
    'one line',
    'Right eye AL=29.84 K1=43.27@5 K2=44.41@95 ACD=3.41 CCT=0.541 WTW=11.9',
    { eye: 'right', axialLengthMm: 29.84, centralCornealThicknessUm: 541, whiteToWhiteMm: 11.9 },
  ],
  ['LT is not left', 'LT eye AL 28.96\nLT 4.65', { eye: 'left', axialLengthMm: 28.96, lensThicknessMm: 4.65 }],
]
describe('a pasted sheet', () => {
  it.each(PASTED)('is read: %s', (_, text, values) => expect(valuesFrom(text)).toMatchObject(values))

  it('leaves out what the sheet marks as missing', () => {
    const { case: read, items } = caseFrom('OD AL --- mm\nLT n/a\nK1 43.27')
    expect(Object.keys(read).sort()).toEqual(['eye', 'notUnderstood'])
    expect(items.filter(({ shown }) => shown === 'not known').map(({ field }) => field)).toEqual([
      'axialLengthMm',
      'lensThicknessMm',
    ])
  })

  it('of two eyes is not given to either until one is named', () => {
    const { case: read, problems } = caseFrom('   OD   OS\nAL   29.84   28.96')
    expect(read.axialLengthMm).toBeUndefined()
    expect(problems).toMatchObject([{ kind: 'contradiction', field: 'eye', blocks: true }])
    expect(read.notUnderstood?.map(({ text }) => text)).toEqual(['right eye: AL   29.84', 'left eye: AL … 28.96'])
  })
})
