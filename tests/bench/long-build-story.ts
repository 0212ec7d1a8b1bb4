import type { Data } from '../../src/job/entry.ts';
import type { Verb } from '../../src/job/verbs.ts';

const minute = 60_000;
const hour = 60 * minute;

/** The people of a long build: who builds, and who inspects. */
export type Person = 'ines' | 'tobias';

/** One entry of a job: when, in ms after its start, who, and what. */
export interface Said {
  readonly after: number;
  readonly by: Person;
  readonly verb: Verb;
  readonly data: Data;
}

const stations = Array.from({ length: 12 }, (_, index) => `s${index + 1}`);
const thirds = ['root', 'mid', 'tip'];

/** A hundred entries, as a person makes them: steps, values, one of them outside and one mistyped, a cup of glue, its cure, bolts, a hold. */
export const storyOf = (number: number): readonly Said[] => {
  const said: Said[] = [];
  let after = minute;
  const say = (verb: Verb, data: Data, by: Person = 'ines'): void => {
    said.push({ after, by, verb, data });
    after += minute / 2;
  };
  const step = (name: string, work: () => void): void => {
    say('begin', { step: name });
    work();
    say('finish', { step: name });
  };
  const read = (reading: string, positions: readonly string[], value: (index: number) => string): void => {
    for (const [index, position] of positions.entries()) say('read', { reading, position, value: value(index) });
  };
  const wobble = (index: number): number => (number * 7 + index * 3) % 9;
  const lot = `L-${Math.floor(number / 10) + 100}`;

  for (const [kind, tool] of [
    ['feeler-gauge', 'FG-1'],
    ['caliper', 'CA-1'],
    ['torque-wrench', 'TW-1'],
  ] as const)
    say('use', { kind, tool });
  say('lot', { material: 'adhesive', number: lot, 'use-by': '2099-12-31' });
  step('look', () => say('read', { reading: 'bruises', value: 'none' }));
  step('flange', () => read('thickness', stations, (index) => `3.${16 + wobble(index)} mm`));
  say('remark', { text: `station s${(number % 12) + 1} is a little rough; broke its edge` });
  step('holes', () => {
    read('hole', stations, (index) => `3.${26 + wobble(index)} mm`);
    say('correct', { entry: 'hole', position: 's12', value: `3.3${wobble(5) % 5} mm`, reason: 'read it again' });
  });
  say('interrupt', {});
  after += hour;
  say('resume', {});
  step('dry-fit', () => {
    read('gap', stations, (index) => (index === 11 ? '0.25 mm' : `0.0${1 + wobble(index)} mm`));
    say('dispose', { on: 'gap', position: 's12', 'as-what': 'rework', reason: 'high spot at s12 planed' });
    say('read', { reading: 'gap', position: 's12', value: '0.1 mm' });
    read('line', thirds, (index) => `0.${1 + wobble(index)} mm`);
  });
  say('shop', { temperature: '20 °C', humidity: '55 %' });
  after += minute;
  say('temperature', { temperature: '20 °C' });
  step('mix', () =>
    say('mix', {
      step: 'mix',
      weights: { resin: '60 g', hardener: `26.${wobble(0) % 5} g` },
      sample: `S-${number}`,
    }),
  );
  step('spread', () => say('read', { reading: 'squeeze-out', value: 'continuous' }));
  for (const degrees of [19.5, 20, 19]) {
    after += 11 * hour;
    say('temperature', { temperature: `${degrees} °C`, lowest: '18.5 °C' });
  }
  say('finish', { step: 'bond-cure' });
  step('after', () => read('line-after', thirds, (index) => `0.${1 + (wobble(index) % 8)} mm`));
  step('bolts', () => {
    for (const fastener of [1, 5, 3, 7, 2, 6, 4, 8])
      say('tighten', { step: 'bolts', fastener, torque: '19.8 N·m', drag: '0.9 N·m', mark: true });
  });
  say('loose', {
    item: `plug ${number}`,
    count: 1,
    left: 'finger tight',
    because: 'the hose comes later',
    before: 'hull-close',
  });
  say('advise', { text: 'leave the clamps on over night', from: 'Marit' });
  after += hour;
  say('release', { step: 'inspect', remark: 'bead continuous, eight marks whole' }, 'tobias');
  say('finish', { step: 'inspect' });
  for (const degrees of [19, 20]) {
    after += 11 * hour;
    say('temperature', { temperature: `${degrees} °C`, lowest: '18.5 °C' });
  }
  say('break', { sample: `S-${number}`, result: 'held', remark: 'wood torn over the whole face' });
  say('finish', { step: 'break-sample' });
  say('close', { tag: `plug ${number}`, count: 1 });
  for (const text of [
    'both faces were dry',
    'the sample is in the box',
    'swept the bench',
    'the clamps are back in their drawer',
  ])
    say('remark', { text });
  say('complete', {});
  return said;
};
