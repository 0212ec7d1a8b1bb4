import { readFileSync } from 'node:fs';
import { calculationsFor } from '../../src/trade/gives.ts';
import { fakeBench, type Fake, type FakeOptions } from './fake.ts';

/** A procedure with every part of work; its own file, so that the demo procedures may change without these screens. */
export const trial = readFileSync(new URL('bench-trial.yaml', import.meta.url), 'utf8');

const tools = [
  { tool: 'TW-2', kind: 'torque-wrench', 'in-date-until': '2026-09-01' },
  { tool: 'TW-1', kind: 'torque-wrench', 'in-date-until': '2026-01-01' },
];

export const trialBench = (options: FakeOptions = {}): Fake =>
  fakeBench({ procedures: [trial], file: { tools }, passphrases: { tobias: 'ottermere' }, ...options });

export const started = (options: FakeOptions = {}): Fake => trialBench(options).press('enter', 'enter', '1');

/** All of the dry fit but its end. */
const measured = (options?: FakeOptions): Fake =>
  started(options).press(
    '0.12',
    'enter',
    '0.1',
    'enter',
    '5.5',
    'enter',
    '4',
    'enter',
    '1',
    'enter',
    '3',
    'enter',
    'along',
    'enter',
  );

export const atCard = (options?: FakeOptions): Fake => measured(options).press('enter', 'enter');

export const atLot = (): Fake => atCard().press('b', 'b', 'marit', 'enter');

export const atMix = (): Fake =>
  atLot().press('L-204', 'enter', '2027-01-31', 'enter', '20', 'enter', '19.5', 'enter', '50', 'enter');

export const mixed = (): Fake => atMix().press('100', 'enter', '44.1', 'enter', 'S-1', 'enter', 'enter');

const curing = (): Fake => mixed().press('f', 'f', '20', 'enter', 'enter').pass(120).press('19', 'enter', 'enter');

export const coldNight = (): Fake =>
  curing().pass(600).press('15', 'enter', 'enter').pass(240).press('20', 'enter', 'enter');

export const atBolts = (): Fake => coldNight().pass(360).press('20', 'enter', '19', 'enter').press('enter');

export const atTorque = (): Fake => atBolts().press('1', 'enter', '18', 'enter');

const bolted = (): Fake =>
  atTorque().press('190', 'enter', 'm', '18', 'enter', '190', 'enter', 'm', '18', 'enter', '190', 'enter', 'm');

export const atWait = (): Fake => bolted().press('enter', '2', 'enter', 'strut-1.jpg', 'enter', 'enter');

const atWitness = (): Fake => atWait().pass(31).press('enter', 'Marit Ollen', 'enter', 'by telephone', 'enter');

export const atHold = (): Fake => atWitness().press('2');

/** Down to the last line of a long text. */
export const toLastLine = (fake: Fake): Fake => fake.press(...Array<string>(100).fill('page-down'));

/** The same, once the inspector has read the sheet to its last line. */
export const readHold = (): Fake => toLastLine(atHold());

export const refusedHold = (): Fake =>
  readHold().press(
    '2',
    '1',
    'enter',
    'a gap at the tip',
    'enter',
    'sanding dust',
    'enter',
    'enter',
    'ottermere',
    'enter',
  );

const released = (): Fake => readHold().press('1', '1', 'enter', 'enter', 'ottermere', 'enter');

export const atBreak = (): Fake => released().press('enter', '2', 'enter', 'enter');

export const atComplete = (): Fake => atBreak().press('1', 'enter', 'wood torn', 'enter', 'enter');

/** From the top of the calculators for a length down to one of them. */
const downTo = (name: string): readonly string[] =>
  Array<string>(calculationsFor('length').findIndex((one) => one.name === name)).fill('down');

/** Every kind of screen, as a person would come to it. */
export const scenes: Readonly<Record<string, () => Fake>> = {
  'first-run': () => fakeBench({ empty: true }),
  'first-run-id': () => fakeBench({ empty: true }).press('1', 'enter', 'Ines Varrow', 'enter'),
  'first-run-gates': () => fakeBench({ empty: true }).press('1', 'enter', 'Ines Varrow', 'enter', 'enter'),
  'first-run-passphrases': () =>
    fakeBench({ empty: true }).press(
      '1',
      'enter',
      'Ines Varrow',
      'enter',
      'enter',
      'enter',
      'abc',
      'enter',
      'abd',
      'enter',
    ),
  cautions: () => fakeBench({ empty: true }).press('1', 'enter', 'Ines Varrow', 'enter', 'enter', 'enter', 'enter'),
  'jobs-none': () => trialBench(),
  procedures: () => trialBench().press('enter'),
  start: () => trialBench().press('enter', 'enter'),
  jobs: () => coldNight().press('escape'),
  reading: started,
  'reading-typed': () => started().press('0.12'),
  'reading-outside': () => started().press('0.2'),
  'reading-unreadable': () => started().press('0.12 mmm', 'enter'),
  'reading-taken': () => started().press('0.12', 'enter'),
  'reading-blind': () => started().press('0.12', 'enter', '0.1', 'enter', '5.5'),
  calculators: () => started().press(' ', '4', '4'),
  'calculator-input': () => started().press(' ', '4', '4', '1', '0.064'),
  'calculator-wrong': () => started().press(' ', '4', '4', '1', '3 N', 'enter'),
  'calculator-result': () => started().press(' ', '4', '4', '1', '0.064 in', 'enter', '1/8 in', 'enter'),
  'calculator-plot': () =>
    started()
      .press(' ', '4', '4', ...downTo('cure-time'), 'enter')
      .press('104 °F', 'enter', '24 h at 70 °F', 'enter', '8 h at 120 °F', 'enter'),
  'calculator-other-kind': () => started().press(' ', '4', '4', ...downTo('maturity'), 'enter'),
  'calculator-handed-back': () => started().press(' ', '4', '4', '1', '0.02', 'enter', '0.08', 'enter', 'enter'),
  doors: () => started().press('0.2', 'enter'),
  'doors-again': () => started().press('0.2', 'enter', '1', '0.14'),
  'doors-reason': () => started().press('0.2', 'enter', '1', '0.14', 'enter'),
  'doors-use-as-is': () => started().press('0.2', 'enter', '4', 'light load here', 'enter'),
  choice: () => started().press('0.12', 'enter', '0.1', 'enter', '5.5', 'enter', '4', 'enter'),
  'finish-with-values': measured,
  card: atCard,
  helper: () => atCard().press('b', 'b'),
  lot: atLot,
  'mix-resin': atMix,
  'mix-humid': () =>
    atLot().press('L-204', 'enter', '2027-01-31', 'enter', '20', 'enter', '19.5', 'enter', '75', 'enter'),
  'mix-too-large': () => atMix().press('105.2', 'enter'),
  'mix-hardener': () => atMix().press('100', 'enter', '44.1'),
  'mix-outside': () => atMix().press('100', 'enter', '47'),
  'mix-discarded': () => atMix().press('100', 'enter', '47', 'enter', 'S-1', 'enter'),
  'pot-life': mixed,
  'pot-life-last-minutes': () => mixed().pass(30),
  'pot-life-over': () => mixed().pass(37),
  'cure-begun': () => mixed().press('f', 'f'),
  'cure-cold-night': coldNight,
  'which-tool': atBolts,
  torque: atTorque,
  'torque-low': () => atTorque().press('150'),
  'torque-mark': () => atTorque().press('190', 'enter'),
  'refused-tool': () => atBolts().press('2', 'enter'),
  'done-already': () => atBolts().press('2', 'enter', '5', '18', 'enter', '190', 'enter', 'the right one was lent'),
  'done-written': () =>
    atBolts().press('2', 'enter', '5', '18', 'enter', '190', 'enter', 'the right one was lent', 'enter'),
  loose: () => bolted().press('enter'),
  photo: () => bolted().press('enter', '2', 'enter'),
  wait: atWait,
  invite: () => atWait().pass(31).press('enter'),
  witness: atWitness,
  hold: atHold,
  'hold-read': readHold,
  'hold-unread': () => atHold().press('1'),
  'hold-release': () => readHold().press('1', '1', 'enter'),
  'hold-passphrase': () => readHold().press('1', '1', 'enter', 'enter', 'otter'),
  'hold-passphrase-wrong': () => readHold().press('1', '1', 'enter', 'enter', 'otter', 'enter'),
  'hold-findings': () => readHold().press('2', '1', 'enter', 'a gap at the tip', 'enter'),
  'hold-answer': refusedHold,
  'hold-again': () => refusedHold().press('filled', 'enter', 'wiped', 'enter'),
  close: () => released().press('enter'),
  break: atBreak,
  complete: atComplete,
  done: () => atComplete().press('enter'),
  closed: () => atComplete().press('enter', 'enter', '1'),
  menu: () => started().press(' '),
  'menu-work': () => started().press(' ', '5'),
  'menu-stock': () => mixed().press(' ', '7'),
  'menu-screen': () => started().press(' ', '9'),
  correct: () => started().press('0.12', 'enter', ' ', '4', '1'),
  'correct-value': () => started().press('0.12', 'enter', ' ', '4', '1', '1'),
  depart: () => started().press(' ', '5', '1'),
  park: () => started().press(' ', '5', '3'),
  parked: () =>
    started().press(
      ' ',
      '5',
      '3',
      'reamer',
      'enter',
      'the reamer',
      'enter',
      'holes at 6 mm',
      'enter',
      'shelf 2',
      'enter',
      'enter',
    ),
  'coming-back': () => coldNight().pass(60).reopen().press('1', '1'),
  'look-steps': () => coldNight().press(' ', '9', '1'),
  'look-values': () => coldNight().press(' ', '9', '2'),
  'look-loose': () => atWait().press(' ', '6').press('3'),
  'look-gate': () =>
    started()
      .press(' ', '9')
      .press(...Array<string>(13).fill('down'), 'enter'),
  'look-keys': () =>
    started()
      .press(' ', '9')
      .press(...Array<string>(11).fill('down'), 'enter'),
};
