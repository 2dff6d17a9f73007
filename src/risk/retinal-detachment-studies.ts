import type { Study } from '../terms/study.js'

/** Retinal detachment after cataract surgery, as each study reports it. They disagree; none is multiplied with another. */
export const RETINAL_DETACHMENT_STUDIES: readonly Study[] = [
  {
    population: '18,065 first eyes, one UK centre',
    years: '2005–14',
    finding:
      '0.30 % at 7 years; over 25 against 23–25 mm × 3.98 (1.93 to 8.20); under 60 × 5.12; men × 2.00 (univariate); rupture with vitreous loss × 12.83 (5.62 to 29.30)',
    cite: 'Petousis V et al. Br J Ophthalmol 2016;100:1461-1465',
    sureness: 'read',
  },
  {
    population: '65,055 operations, Western Australia; axial length not examined',
    years: '10 years of follow-up',
    finding: '0.68 % at 10 years (0.56 to 0.83); under 60 × 3.76; men × 1.91; anterior vitrectomy × 27.60 (19.27 to 39.52)',
    cite: 'Clark A et al. Arch Ophthalmol 2012;130:882-888',
    sureness: 'read',
  },
  {
    population: '3,177,195 eyes, US registry; myopia by code, no axial length',
    years: '1 year of follow-up',
    finding: '0.21 % at 1 year; men 0.37, women 0.11; age 40–50 × 8.61 against over 70; lattice × 10.53; high myopia × 1.2',
    cite: 'Morano MJ et al. Ophthalmol Sci 2023;3:100314',
    sureness: 'read',
  },
  {
    population: '2,191,510 eyes, Korea',
    years: '5 years of follow-up',
    finding: '1.19 % at 5 years; men × 1.34; myopia × 1.42; anterior vitrectomy × 2.60; age 40–54 × 5.87',
    cite: 'Kim J et al. Graefes Arch Clin Exp Ophthalmol 2019;257:2193-2202',
    sureness: 'read',
  },
  {
    population: '677 eyes of people under 61',
    years: 'mean 45 months of follow-up',
    finding: '3.55 %; 25 to 28.9 mm 10.2 % (few eyes)',
    cite: 'Laube T et al. PLoS One 2017;12:e0184187',
    sureness: 'read',
  },
  {
    population: '439 highly myopic eyes, mean 27.9 mm',
    years: '63–105 months of follow-up',
    finding: '2.7 %; cumulative 3.28 %; under 50 up to 4.46 %',
    cite: 'Alió JL et al. Am J Ophthalmol 2007;144:93-98',
    sureness: 'secondary',
  },
  {
    population: '930 pairs of eyes, −15 to −30 D, uncomplicated',
    years: '36 months of follow-up',
    finding: '8.0 % operated against 1.2 % fellow eyes',
    cite: 'Ripandelli G et al. Ophthalmology 2003;110:2355-2361',
    sureness: 'read',
  },
  {
    population: '253 operations, 27 mm or more, extracapsular',
    years: '3.8 years of follow-up',
    finding: '0.8 %',
    cite: 'Jacobi FK, Hessemer V. J Cataract Refract Surg 1997;23:1095-1102',
    sureness: 'read',
  },
  {
    population: 'highly myopic eyes, meta-analysis',
    years: '2000–20',
    finding: '1.74 % (1.36 to 2.15)',
    cite: 'Yao Y et al. J Cataract Refract Surg 2021;47:1473-1480',
    sureness: 'read',
  },
  {
    population: '118 eyes over 33 mm against eyes of 26–28 mm',
    years: 'not seen',
    finding: 'more detachments over 33 mm (p = 0.030)',
    cite: 'Outcomes of cataract surgery in eyes with axial length > 33 mm',
    sureness: 'read',
  },
  {
    population: '202,226 patients, Denmark, against the unoperated fellow eye',
    years: '10 years of follow-up',
    finding: '× 4.23, raised for 10 years',
    cite: 'Bjerrum SS et al. Ophthalmology 2013;120:2559-2564',
    sureness: 'read',
  },
]
