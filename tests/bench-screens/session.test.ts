import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { latestTry } from '../../src/job/values.ts';
import { fakeBench, shipped, type Fake } from './fake.ts';
import {
  atBolts,
  atBreak,
  atCard,
  atComplete,
  atHold,
  atMix,
  atTorque,
  atWait,
  coldNight,
  mixed,
  readHold,
  refusedHold,
  started,
  toLastLine,
  trialBench,
} from './scenes.ts';
import { jobOf } from '../../src/aircraft/state.ts';

const job = (fake: Fake) => {
  const id = fake.build().jobOrder.at(-1) ?? '';
  const found = jobOf(fake.build(), id);
  if (!found) throw new Error('no job');
  return found;
};

const verbs = (fake: Fake): readonly string[] => fake.acts.map(({ verb }) => verb);
const page = (fake: Fake): string => fake.bench.session().pages.at(-1)?.page ?? '';
const valueOf = (fake: Fake, reading: string, position?: string): string | undefined =>
  latestTry(job(fake), reading, { n: 1, ...(position === undefined ? {} : { position }) })?.value;

describe('keys', () => {
  test('every character is typed, however fast they come', () => {
    const fake = started().pass(1).burst('0.12');
    expect(fake.text()).toContain('0 . 1 2');
  });

  test('what a scanner types is saved at its enter', () => {
    const fake = started().pass(1).burst('0.12', 'enter');
    expect(valueOf(fake, 'gap', 'root')).toBe('0.12 mm');
  });

  test('a second committing key within 0.4 s is ignored, and what was typed stays', () => {
    const fake = started().pass(1).burst('0.12', 'enter', '0.1', 'enter');
    expect(verbs(fake).filter((verb) => verb === 'read')).toHaveLength(1);
    expect(fake.text()).toContain('0 . 1▏');
    fake.press('enter');
    expect(valueOf(fake, 'gap', 'tip')).toBe('0.1 mm');
  });

  test('a finger that bounces on enter never answers the next question', () => {
    for (const scene of [started, atCard, atMix, atTorque, coldNight]) {
      const fake = scene().pass(1);
      const before = fake.acts.length;
      fake.burst('enter', 'enter', 'enter');
      expect(fake.acts.length - before).toBeLessThanOrEqual(1);
    }
  });

  test('enter on an empty field saves nothing', () => {
    const fake = started().press('enter');
    expect(verbs(fake)).toEqual(['start']);
    expect(fake.text()).toContain('nothing is typed');
  });

  test('no choice is selected before somebody selects one', () => {
    const fake = started().press('0.12', 'enter', '0.1', 'enter', '5.5', 'enter', '4', 'enter', 'enter');
    expect(fake.text()).toContain('nothing is chosen');
    expect(valueOf(fake, 'face')).toBeUndefined();
    fake.press('down', 'enter');
    expect(valueOf(fake, 'face')).toBe('clean');
  });

  test('escape goes back and keeps what is typed; space opens the menu only while nothing is typed', () => {
    const fake = started().press('0.1', ' ');
    expect(page(fake)).toBe('walk');
    fake.press('escape');
    expect(page(fake)).toBe('jobs');
    fake.press('1');
    expect(fake.text()).toContain('0 . 1');
    fake.press('ctrl-u', ' ');
    expect(page(fake)).toBe('menu');
    fake.press('escape', 'escape');
    expect(page(fake)).toBe('jobs');
    fake.press('escape');
    expect(page(fake)).toBe('jobs');
  });

  test('no sequence of keys brings the bench into a state that it cannot show', () => {
    const keys = fc.constantFrom(
      'enter',
      'escape',
      'up',
      'down',
      'left',
      'tab',
      'backspace',
      ' ',
      '1',
      '2',
      '4',
      '7',
      '9',
      'b',
      'f',
      'm',
      '0.1',
      'x',
    );
    fc.assert(
      fc.property(
        fc.constantFrom(started, atCard, atMix, coldNight, atHold, atComplete),
        fc.array(keys, { maxLength: 25 }),
        (scene, pressed) => {
          const fake = scene().press(...pressed);
          expect(fake.text().length).toBeGreaterThan(0);
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe('own keys', () => {
  test('a permanent step is not begun by enter, only by its own key', () => {
    const fake = atCard().press('enter', 'enter');
    expect(verbs(fake)).not.toContain('begin');
    fake.press('b', 'b', 'marit', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'begin', data: { step: 'mix', with: ['marit'] } });
  });

  test('a critical step is not finished by enter', () => {
    const fake = mixed().press('enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'finish', data: { step: 'mix' } });
    fake.press('f', 'f');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'finish', data: { step: 'close' } });
  });

  test('the torque mark is an act of its own', () => {
    const fake = atTorque().press('190', 'enter', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ data: { fastener: 1, drag: '18 in·lb', torque: '190 in·lb' } });
    fake.press('m');
    expect(fake.acts.at(-1)).toMatchObject({ data: { fastener: 1, mark: true } });
    expect(fake.text()).toContain('3: Drag');
  });

  test('enter never answers a hold', () => {
    const fake = atHold();
    const before = fake.acts.length;
    fake.press('enter', 'down', 'enter', 'up', 'enter');
    expect(fake.acts).toHaveLength(before);
    expect(page(fake)).toBe('walk');
  });
});

describe('values', () => {
  test('only what the port has answered is shown as saved', () => {
    const fake = started().press('0.12', 'enter');
    expect(fake.text()).toContain('✓ within: Largest gap, root: 0.12 mm');
  });

  test('a value outside opens the doors; another try needs a reason, and both tries stay', () => {
    const fake = started().press('0.2', 'enter');
    expect(fake.text()).toContain('1 another try');
    fake.press('1', '0.14', 'enter');
    expect(verbs(fake).filter((verb) => verb === 'read')).toHaveLength(1);
    fake.press('sanded', 'enter');
    expect(fake.acts.at(-1)?.data).toMatchObject({
      reading: 'gap',
      position: 'root',
      value: '0.14 mm',
      reason: 'sanded',
    });
    expect(job(fake).tries['gap']?.map(({ value }) => value)).toEqual(['0.2 mm', '0.14 mm']);
  });

  test('when no try is left, that door is gone', () => {
    const fake = started().press('0.2', 'enter', '1', '0.3', 'enter', 'sanded', 'enter');
    expect(fake.text()).not.toContain('another try');
    expect(fake.text()).toContain('2 rework');
  });

  test('use as is asks who accepts it: here by letter', () => {
    const fake = started().press('0.2', 'enter', '4', 'light load here', 'enter', 'letter.pdf', 'enter');
    expect(fake.text()).toContain('Who wrote the letter');
    fake.press('Dagny Roth', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({
      verb: 'dispose',
      data: {
        on: 'gap',
        'as-what': 'use-as-is',
        reason: 'light load here',
        letter: 'letter.pdf',
        author: 'Dagny Roth',
      },
    });
  });

  test('a value that cannot be read stays in the field, and the screen says what to do', () => {
    const fake = started().press('0.12 mmm', 'enter');
    expect(fake.text()).toContain('0 . 1 2');
    expect(fake.text()).toMatch(/! .*mmm/);
    fake.press('backspace', 'enter');
    expect(valueOf(fake, 'gap', 'root')).toBe('0.12 mm');
  });

  test('blind limits are not shown before the value is in', () => {
    const fake = started().press('0.12', 'enter', '0.1', 'enter', '9');
    expect(fake.text()).not.toContain('5 ± 1');
    expect(fake.text()).not.toContain('× outside');
    fake.press('enter');
    expect(fake.text()).toContain('too large, limit 6 °');
  });

  test('a correction strikes the old value and keeps it', () => {
    const fake = started().press('1.2', 'enter', ' ', '4', '1', '1', '0.12', 'enter', 'a slip', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'correct', data: { value: '0.12 mm', reason: 'a slip' } });
    expect(job(fake).struck.map(({ value }) => value)).toEqual(['1.2 mm']);
  });

  test("a logger's file is imported from the menu, which asks for what the file leaves open, and struck as a whole", () => {
    const fake = coldNight().resize(80, 24);
    const row = (label: string): string =>
      /\d/.exec(
        fake
          .text()
          .split('\n')
          .find((line) => line.includes(label)) ?? '',
      )?.[0] ?? 'none';
    fake
      .press(' ', '7')
      .press(row('temperatures from a logger'), 'nigth.csv', 'enter', 'enter', 'enter', 'enter', 'enter');
    expect(fake.text()).toContain('no such file');
    expect(fake.build().logs).toEqual({});
    while (page(fake) !== 'walk') fake.press('escape');
    fake
      .press(' ', '7')
      .press(row('temperatures from a logger'), 'ctrl-u', 'night.csv', 'enter', 'enter', 'enter', 'enter', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'temperatures', job: '', data: { file: 'night.csv' } });
    expect(fake.text()).toContain('3 rows');
    fake.press(' ', '4', '1');
    while (!/>.*log night.csv/.test(fake.text())) fake.press('down');
    fake.press('enter', '3', 'enter', 'another shop', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'correct', data: { value: 'none', reason: 'another shop' } });
    expect(Object.values(fake.build().logs).flat()[0]?.struck?.reason).toBe('another shop');
    expect(fake.text()).toContain('3 rows of night.csv count');
  });

  test('a half-typed value stays while a temperature is entered', () => {
    const fake = started().press('0.1').press('tab', '3', '19', 'enter', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'temperature', job: '', data: { temperature: '19 °C' } });
    expect(fake.text()).toContain('0 . 1▏');
  });
});

describe('mix', () => {
  test('a weight without a unit is in the unit of the batch', () => {
    const fake = atMix().press('100', 'enter', '44.1', 'enter', 'S-1', 'enter');
    expect(fake.acts.at(-1)?.data).toMatchObject({ weights: { resin: '100 g', hardener: '44.1 g' }, sample: 'S-1' });
  });

  test('target and band follow from the weight of the first part', () => {
    const fake = atMix().press('104', 'enter');
    expect(fake.text()).toContain('44.9 to 46.6 g');
    expect(fake.text()).toContain('█ █ █▀▀   █▀█');
  });

  test('a cup outside its ratio is recorded, and another is asked for', () => {
    const fake = atMix().press('100', 'enter', '47', 'enter', 'S-1', 'enter');
    expect(job(fake).batches.map(({ inRatio }) => inRatio)).toEqual([false]);
    expect(fake.text()).toContain('Weigh the resin');
  });

  test('the lot and the shop are asked for before the cup is filled', () => {
    const fake = atCard().press('b', 'b', 'marit', 'enter');
    expect(fake.text()).toContain('Lot number');
    fake.press('L-204', 'enter', '2027-01-31', 'enter');
    expect(fake.text()).toContain('The shop now');
  });
});

describe('coming back', () => {
  test('the last three steps can be checked again, and the journal says which were', () => {
    const fake = atWait().press(' ', '2');
    expect(page(fake)).toBe('jobs');
    fake.press('1');
    expect(fake.text()).toContain('Coming back after an interruption');
    fake.press('1', '3', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'resume', data: { rechecked: ['caps', 'cure'] } });
    expect(page(fake)).toBe('walk');
  });

  test('it is asked after a kill too, and only once', () => {
    const fake = coldNight().reopen().press('1');
    expect(page(fake)).toBe('back');
    fake.press('enter');
    expect(page(fake)).toBe('walk');
    fake.press('escape', '1');
    expect(page(fake)).toBe('walk');
  });

  test('a bench that is opened at a job shows it', () => {
    const fake = started();
    const id = job(fake).id;
    expect(page(fake.reopen(id))).toBe('walk');
  });
});

describe('the second person', () => {
  test('answers the hold in their own name, with their own passphrase', () => {
    const fake = readHold().press('1', '1', 'enter', 'all whole', 'enter');
    expect(page(fake)).toBe('passphrase');
    expect(fake.text()).not.toContain('Ines');
    fake.press('otter', 'enter');
    expect(fake.text()).toContain('the passphrase is not right');
    fake.press('ottermere', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({
      verb: 'release',
      by: 'tobias',
      data: { step: 'inspect', remark: 'all whole' },
    });
    expect(fake.text()).toContain('hold released');
  });

  test('types a passphrase that is never on the screen', () => {
    const fake = readHold().press('1', '1', 'enter', 'enter', 'ottermere');
    expect(fake.text()).not.toContain('ottermere');
    expect(fake.text()).toContain('●●●●●●●●●');
  });

  test('is never somebody who performed the work', () => {
    expect(readHold().press('1').text()).not.toContain('Ines');
  });

  test('cannot release from elsewhere where the procedure forbids it', () => {
    expect(atHold().text()).not.toContain('remote');
  });

  test('refuses with numbered findings, which are answered one by one and inspected again', () => {
    const fake = refusedHold();
    expect(job(fake).findings.map(({ number, text }) => [number, text])).toEqual([
      [1, 'a gap at the tip'],
      [2, 'sanding dust'],
    ]);
    fake.press('filled', 'enter', 'wiped', 'enter');
    expect(fake.text()).toContain('HOLD POINT');
    toLastLine(fake).press('1', '1', 'enter', 'enter', 'ottermere', 'enter');
    expect(job(fake).findings.every(({ closed }) => closed !== undefined)).toBe(true);
  });

  test('answers nothing before the last line of the sheet was on the screen', () => {
    const fake = atHold().press('1');
    expect(fake.text()).toContain('Read to the last page first');
    expect(page(fake)).toBe('walk');
    toLastLine(fake).press('1');
    expect(page(fake)).toBe('form');
  });

  test('can hand back and leave the hold as it is', () => {
    const fake = readHold().press('3');
    expect(page(fake)).toBe('jobs');
    expect(job(fake).looks['inspect']).toBeUndefined();
  });
});

describe('refusals', () => {
  test('a tool out of date is refused in words, with what to do, and nothing is entered', () => {
    const fake = atBolts().press('2', 'enter');
    // Before anything is pulled: the tool is refused, and another one is offered.
    expect(page(fake)).toBe('walk');
    expect(fake.text()).toContain('TW-1 was in date until 2026-01-01');
    fake.press('1', '1', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'use', data: { kind: 'torque-wrench', tool: 'TW-2' } });
    expect(fake.text()).toContain('Drag, as the wrench shows it');
  });

  test('a finger that bounces does not dismiss a refusal', () => {
    const fake = atWait().press('enter').burst('enter', 'enter');
    expect(page(fake)).toBe('refused');
  });

  test('what would refuse the finish is shown before', () => {
    const fake = atWait();
    expect(fake.text()).toContain('! rest waits 30 min');
    fake.press('enter');
    expect(page(fake)).toBe('refused');
    fake.press('1', 'wait', 'enter', 'went on', 'enter', 'warm day', 'enter', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({
      verb: 'depart',
      data: { code: 'wait', says: 'wait', did: 'went on', because: 'warm day' },
    });
    fake.press('enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'finish', data: { step: 'rest' } });
  });
});

test('a warning is shown before what it warns of, also where only a result is entered', () => {
  expect(atBreak().text()).toMatch(/Warning: The pieces fly[\s\S]*What did it show/);
});

describe('the whole job', () => {
  test('it ends with a record, and says how to verify it', () => {
    const fake = atComplete().press('enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'complete' });
    expect(fake.text()).toMatch(/dryfit verify\s+state\/records/);
    fake.press('enter');
    expect(page(fake)).toBe('jobs');
  });

  test('each shipped procedure can be started from the list, and asks its first question', () => {
    for (const id of ['keel-scarf-bond', 'strut-bolts', 'tank-outlet-elbow']) {
      const fake = fakeBench({ procedures: [shipped(id)] }).press('enter', 'enter');
      if (page(fake) === 'start') fake.press(fake.build().jobOrder.length === 0 ? '1' : '', 'enter');
      expect(job(fake).procedure).toBe(id);
    }
  });
});

describe('the first run', () => {
  test('asks for name, id, gates and passphrase, then shows the cautions and the procedures', () => {
    const fake = trialBench({ empty: true }).press('1', 'enter', 'Ínes Várrow', 'enter');
    expect(fake.text()).toContain('ines-varrow');
    fake.press('enter');
    expect(fake.text()).toContain('close-up, cover');
    fake.press('hull-close, first-flight', 'enter', 'enter');
    expect(page(fake)).toBe('cautions');
    fake.press('enter');
    expect(page(fake)).toBe('procedures');
    expect(Object.keys(fake.build().keys)).toEqual(['ines-varrow']);
  });

  test('asks again for an id that is not valid', () => {
    const fake = trialBench({ empty: true }).press('1', 'enter', 'Ines', 'enter', 'Ines V!', 'enter', 'enter', 'enter');
    expect(fake.text()).toContain('is not an id');
    fake.press('ines', 'enter', 'Hull close', 'enter', 'enter');
    expect(fake.text()).toContain('is not a gate');
    fake.press('none', 'enter', 'enter');
    expect(Object.keys(fake.build().keys)).toEqual(['ines']);
  });
});
