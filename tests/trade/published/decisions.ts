import { rows, type PublishedRow } from './row.ts';

const probability = (limits: string, value: string, uncertainty: string): PublishedRow['inputs'] => ({
  value,
  limits,
  uncertainty,
});

export const conformances: readonly PublishedRow[] = [
  ...rows(
    'ILAC-G8:09/2019, quoted by laboratories: at the limit 50 %',
    'A',
    'conformance-probability',
  )([probability('at most 25.1 mm', '25.1 mm', '0.04 mm'), { probability: [50, 1e-9] }]),
  ...rows(
    'ILAC-G8:09/2019, quoted by laboratories: guard band U gives less than 2.5 % false accept',
    'A',
    'conformance-probability',
  )([probability('at most 25.1 mm', '25.06 mm', '0.04 mm'), { probability: [97.725, 1e-4] }]),
  ...rows('normal form; row computed', 'B', 'conformance-probability')(
    [probability('24.9 to 25.1 mm', '24.90 mm', '0.04 mm'), { probability: [50, 0.005] }],
    [probability('24.9 to 25.1 mm', '24.94 mm', '0.04 mm'), { probability: [97.72, 0.01] }],
    [probability('24.9 to 25.1 mm', '25.06 mm', '0.04 mm'), { probability: [97.72, 0.01] }],
    [probability('24.9 to 25.1 mm', '25.09 mm', '0.04 mm'), { probability: [69.15, 0.005] }],
  ),
  ...rows(
    'JCGM 106 diode example, from memory',
    'C',
    'conformance-probability',
  )([probability('at most -5.40 V', '-5.47 V', '0.10 V'), { probability: [91.92, 0.005] }]),
  ...rows(
    'resolution and calibration combined; computed',
    'B',
    'expanded-uncertainty',
  )([{ resolution: '0.01 mm', standard: '0.01 mm' }, { expanded: [0.020817, 1e-6] }]),
  ...rows(
    'GUM F.2.2.1, u = 0.29 δx, from memory',
    'C',
    'expanded-uncertainty',
  )([{ resolution: '1 mm' }, { expanded: [0.57735, 1e-5] }]),
];
