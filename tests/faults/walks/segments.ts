import type { Chooser } from './chooser.ts';

/* Pieces of a page: a few steps that belong together. Ids begin with the piece's own mark, so that any pieces fit on one page. */

/** A step as a page has it. */
export type StepText = { readonly step: string; readonly [key: string]: unknown };

export interface Making {
  readonly procedure: string;
  readonly choose: Chooser;
  readonly sided: boolean;
  /** True where the page passes a gate: it leaves nothing loose behind. */
  readonly passes: boolean;
}

export type Made = readonly StepText[];
type Segment = (making: Making, mark: string) => Made;

/** How the cure of every page with glue is. The walk works each out by hand as well. */
export const cureText = {
  stages: { handle: ['24 h at 25 °C', '48 h at 18 °C'], full: '7 d at 18 °C' },
  floor: '18 °C',
  'reading-every': '12 h',
};

const gapReading = (mark: string, choose: Chooser): object => ({
  reading: `${mark}-gap`,
  unit: 'mm',
  limits: 'at most 0.2 mm',
  source: 'invented',
  ...(choose.maybe(0.3) ? { tries: 'at most 2' } : {}),
  ...(choose.maybe(0.3) ? { tool: 'caliper' } : {}),
});

const measure: Segment = ({ choose }, mark) => {
  const chord = {
    reading: `${mark}-chord`,
    unit: 'mm',
    limits: '12.5 ± 0.1 mm',
    source: 'invented',
    ...(choose.maybe(0.5) ? { positions: ['root', 'tip'] } : {}),
    ...(choose.maybe(0.3) ? { times: '2' } : {}),
  };
  const guarded = {
    reading: `${mark}-thick`,
    unit: 'mm',
    limits: '3.0 ± 0.3 mm',
    source: 'invented',
    tool: 'caliper',
    decide: 'guarded',
  };
  const grain = { reading: `${mark}-grain`, choices: ['straight', 'wavy'], accept: ['straight'] };
  const holes = { reading: `${mark}-holes`, count: true, limits: '4 to 6' };
  const seen = { reading: `${mark}-seen`, text: true };
  const more = [chord, guarded, grain, holes, seen].filter(() => choose.maybe(0.45));
  return [
    { step: `${mark}-measure`, title: 'Measure it', readings: [gapReading(mark, choose), ...more] },
    ...(choose.maybe(0.3)
      ? [{ step: `${mark}-shim`, title: 'Fit a shim', 'only-if': { reading: `${mark}-gap`, is: 'more than 0.1 mm' } }]
      : []),
    ...(choose.maybe(0.2) ? [{ step: `${mark}-tidy`, title: 'Tidy the bench' }] : []),
  ];
};

const twin: Segment = (making, mark) =>
  making.sided
    ? [
        {
          step: `${mark}-rig`,
          title: 'Rig it',
          readings: [
            { reading: `${mark}-angle`, unit: '°', limits: '2 ± 1 °', twin: 'at most 0.3 °', source: 'invented' },
          ],
        },
      ]
    : measure(making, mark);

const bolts: Segment = ({ choose }, mark) => [
  {
    step: `${mark}-bolts`,
    title: 'Tighten the bolts',
    tighten: {
      fasteners: String(1 + choose.below(3)),
      torque: '160 to 190 in·lb',
      tool: 'torque-wrench',
      mark: true,
      source: 'invented',
      ...(choose.maybe(0.3) ? { tries: 'at most 2' } : {}),
    },
  },
];

const glue: Segment = ({ procedure, choose }, mark) => {
  const line = `${procedure}-${mark}-line`;
  const inPotLife = { 'in-pot-life-of': `${mark}-mix` };
  return [
    { step: `${mark}-dry-fit`, title: 'Fit it dry', proves: [line], readings: [gapReading(mark, choose)] },
    {
      step: `${mark}-mix`,
      title: 'Mix the adhesive',
      people: '2',
      mix: {
        material: 'adhesive',
        ratio: { resin: '100', hardener: '44' },
        by: 'weight',
        tolerance: '2 %',
        batch: '30 to 150 g',
        'pot-life': ['35 min at 20 °C', '20 min at 28 °C'],
        sample: true,
        tool: 'scale',
      },
    },
    {
      step: `${mark}-bond`,
      title: 'Bond it',
      people: '2',
      permanent: true,
      sets: [line],
      ...(choose.maybe(0.3) ? { materials: ['sealant'] } : {}),
      ...inPotLife,
    },
    ...(choose.maybe(0.3)
      ? [
          {
            step: `${mark}-squeeze`,
            title: 'Look along the bead',
            readings: [{ reading: `${mark}-bead`, choices: ['whole', 'broken'], accept: ['whole'] }],
            ...inPotLife,
          },
        ]
      : []),
    { step: `${mark}-cure`, title: 'Let it cure', cure: { of: `${mark}-mix`, ...cureText } },
    ...(choose.maybe(0.7)
      ? [{ step: `${mark}-break`, title: 'Break the sample', break: { of: `${mark}-mix`, 'not-before': 'handle' } }]
      : []),
    ...(choose.maybe(0.3)
      ? [
          {
            step: `${mark}-unclamp`,
            title: 'Take the clamps off',
            'after-stage': { cure: `${mark}-cure`, stage: 'handle' },
          },
        ]
      : []),
  ];
};

const drill: Segment = ({ procedure, choose }, mark) => {
  const [hole, bay] = [`${procedure}-${mark}-hole`, `${procedure}-${mark}-bay`];
  return [
    { step: `${mark}-trial`, title: 'Try it with a pin', proves: [hole] },
    {
      step: `${mark}-drill`,
      title: 'Drill and close it',
      people: '2',
      permanent: true,
      sets: [hole],
      covers: [bay],
      ...(choose.maybe(0.4)
        ? {
            readings: [
              { reading: `${mark}-edge`, unit: 'mm', limits: '10 ± 1 mm', tool: 'caliper', source: 'invented' },
            ],
          }
        : {}),
    },
    ...(choose.maybe(0.4)
      ? [
          { step: `${mark}-open`, title: 'Take the cover off', uncovers: [bay] },
          { step: `${mark}-again`, title: 'Reach inside again', reaches: [bay] },
        ]
      : []),
  ];
};

/** A step that must get at what another page may have covered. */
const reach: Segment = ({ procedure, choose }, mark) => {
  const other = choose.one(['work-1', 'work-2', 'work-3'].filter((one) => one !== procedure));
  return [{ step: `${mark}-inside`, title: 'Reach inside', reaches: [`${other}-s${1 + choose.below(3)}-bay`] }];
};

const leaving: Segment = ({ choose, passes }, mark) => [
  {
    step: `${mark}-leave`,
    title: 'Leave the cap loose',
    loose: [
      {
        item: `${mark}-cap`,
        count: String(1 + choose.below(2)),
        left: 'finger tight',
        because: 'the cable comes later',
        before: choose.one(['hull-close', 'first-flight']),
      },
    ],
    photo: [{ photo: `${mark}-cap`, show: 'the cap' }],
  },
  ...(passes || choose.maybe(0.6)
    ? [{ step: `${mark}-close`, title: 'Tighten the cap', closes: [`${mark}-cap`] }]
    : []),
];

const fitting: Segment = ({ choose }, mark) => [
  {
    step: `${mark}-fit`,
    title: 'Fit the bracket',
    ...(choose.maybe(0.5) ? { parts: ['A1-27'] } : { materials: ['sealant'] }),
  },
  ...(choose.maybe(0.5) ? [{ step: `${mark}-settle`, title: 'Let it settle', wait: '30 min' }] : []),
  ...(choose.maybe(0.5)
    ? [
        {
          step: `${mark}-coat`,
          title: 'Coat it',
          'no-later-than': { after: `${mark}-fit`, time: '24 h' },
          photo: [{ photo: `${mark}-coat`, show: 'the coat' }],
        },
      ]
    : []),
];

const hold: Segment = ({ choose }, mark) => [
  { step: `${mark}-ready`, title: 'Make it ready', readings: [gapReading(mark, choose)] },
  {
    step: `${mark}-look`,
    title: 'Have it looked at',
    hold: {
      by: choose.weighted([
        [5, 'inspector'],
        [1, 'designer'],
      ]),
      'look-for': ['an even gap'],
      ...(choose.maybe(0.4) ? { remote: false } : {}),
      ...(choose.maybe(0.2) ? { self: 'after 1 h' } : {}),
      ...(choose.maybe(0.3) ? { of: [`${mark}-ready`] } : {}),
    },
  },
];

const witness: Segment = (_making, mark) => [
  { step: `${mark}-prepare`, title: 'Prepare it' },
  { step: `${mark}-show`, title: 'Show it', hold: { kind: 'witness', by: 'witness', 'look-for': ['how it moves'] } },
];

export const segments: readonly (readonly [weight: number, segment: Segment])[] = [
  [3, measure],
  [3, twin],
  [2, bolts],
  [2.5, glue],
  [2, drill],
  [1.5, reach],
  [1.5, leaving],
  [1.5, fitting],
  [6, hold],
  [1, witness],
];
