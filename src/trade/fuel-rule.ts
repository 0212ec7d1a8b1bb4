/** Percent of the take-off consumption that the system must be able to give. */
export const needed: Readonly<Record<string, number>> = { gravity: 150, pump: 125 };

export const fuelSource =
  'gravity 150 %, pump 125 % of the consumption at take-off: 14 CFR 23.955 (b), (c), edition of 2014, since withdrawn; the rest is arithmetic';

export const fuelCaution =
  'Historic rule; the kit’s own limit wins. Nose-high attitude, tank near unusable. Outdoors, earthed, extinguisher at hand, no ignition source.';
