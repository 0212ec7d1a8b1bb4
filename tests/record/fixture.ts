import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { msOf } from '../../src/job/cure.ts';
import type { RecordDocument } from '../../src/record/document.ts';
import { digestOf, inspectedFacts, linesOf } from '../../src/record/inspected.ts';
import { recordOf, type RecordBuild } from '../../src/record/record.ts';
import { inspectionLines } from '../../src/report/inspection-sheet.ts';
import { engineWith, type Engine } from '../support/engine.ts';

/** One procedure with every kind of part in it. Invented for these tests. */
const scarf = `
procedure: keel-scarf
title: Bond the keel scarf
revision: B
manual: { document: A1-BM, section: 5.3, revision: 3.2, date: 2026-03-01 }
purpose: Joins the two halves of the keel.
gather:
  tools: [{ tool: torque-wrench, in-date: true }, { tool: feeler-gauge }]
  materials: [{ material: adhesive, lot: true }]
warnings: [Invented for tests; no limit in it may be used on a real aircraft.]
steps:
  - step: measure
    title: Measure the halves
    do: |
      Measure both halves.
      Write down what you see.
    caution: Do not press the blade in.
    readings:
      - { reading: thickness, ask: Thickness of the keel, unit: mm, limits: 22.0 ± 0.3 mm, positions: [fore, aft], source: manual 5.3 }
      - { reading: gap, ask: Largest gap, unit: mm, limits: at most 0.15 mm, tool: feeler-gauge, blind: true, source: manual 5.3 }
      - { reading: grain, ask: Grain of the wood, choices: [straight, wavy], accept: [straight] }
      - { reading: rods, ask: Limber holes open, count: true, limits: at least 14 }
      - { reading: seen, ask: What the torch showed, text: true }
  - step: dry-fit
    title: Fit it dry
    proves: [keel-line]
    readings:
      - { reading: line, ask: Straightness over 3 m, unit: mm, limits: at most 1.0 mm, source: manual 5.3 }
  - step: mix
    title: Mix the adhesive
    warning: Hardener burns.
    place: loft
    people: 2
    mix:
      material: adhesive
      ratio: { resin: 100, hardener: 44 }
      tolerance: 2 %
      batch: 30 to 150 g
      pot-life: [35 min at 20 °C, 20 min at 28 °C]
      sample: true
      source: maker's sheet
  - step: bond
    title: Bond the scarf
    permanent: true
    people: 2
    sets: [keel-line]
    covers: [scarf-face]
    in-pot-life-of: mix
  - step: cure
    title: Let it cure
    place: loft
    cure: { of: mix, stages: { handle: 18 h at 18 °C, full: 7 d at 18 °C }, floor: 18 °C, source: maker's sheet }
  - step: break
    title: Break the sample
    break: { of: mix, not-before: handle }
  - step: bolts
    title: Tighten the scarf bolts
    critical: true
    again: { at: [1 h, 10 h], every: 50 h, count: engine hours }
    tighten: { fasteners: 2, torque: 160 to 190 in·lb, drag: measured, adapter: 50 mm, wrench: 305 mm, tool: torque-wrench, mark: true, source: AC 43.13-1B table 7-1 }
    loose:
      - { item: cover-plate, count: 1, left: finger tight, because: the cable comes later, before: hull-close }
  - step: watch
    title: Show the squeeze-out
    hold: { kind: witness, by: witness, look-for: [squeeze-out all round] }
  - step: inspect
    title: Have the scarf inspected
    hold: { by: inspector, look-for: [squeeze-out continuous, marks on both bolts] }
`;

interface Answer {
  readonly text: string;
  readonly signature: string;
}

/** Makes a person's signed answer; what it says is for the tests of verifying. */
export type Sign = (person: string, answer: Readonly<Record<string, unknown>>) => Answer;

export const build: RecordBuild = {
  build: 'b'.repeat(64),
  sha256: 'c'.repeat(64),
  scripted: false,
  aircraft: [
    { name: 'type', value: 'Ottermere A-1' },
    { name: 'serial', value: '7' },
  ],
  keys: {
    ines: ['SHA256:INESINESINESINESINESINESINESINESINESINESINE'],
    tobias: ['SHA256:TOBIASTOBIASTOBIASTOBIASTOBIASTOBIASTOBIASTO'],
  },
};

const unsigned: Sign = (_person, answer) => ({ text: JSON.stringify(answer), signature: 'signed by nobody\n' });

const answer = (engine: Engine, sign: Sign, kind: string, more: Readonly<Record<string, unknown>> = {}) => {
  const document = recordFrom(engine);
  const inspected = linesOf(inspectedFacts(document, 'inspect'));
  const made = sign('tobias', {
    v: 1,
    build: build.build,
    job: engine.job().id,
    step: 'inspect',
    head: 'd'.repeat(64),
    nonce: `${kind}-${engine.entries().length}`,
    inspected,
    digest: digestOf(inspected),
    ...inspectionLines(document, 'inspect'),
    answer: kind,
    person: 'tobias',
    ...more,
  });
  return { answer: made.text, 'answer-sig': made.signature };
};

const measured = (engine: Engine): void => {
  engine.says('start', 'keel-scarf').taken();
  engine.says('read', 'thickness', { value: '22.1 mm', position: 'fore' }).taken();
  engine.at('+2m').says('read', 'thickness', { value: '219 mm', position: 'aft' }).taken();
  engine
    .at('+1m')
    .says('correct', 'thickness', { position: 'aft', value: '21.9 mm', reason: 'slipped the point' })
    .taken();
  engine.says('read', 'gap', { value: '0.25 mm' }, '2026-03-02T09:01:00+01:00').taken();
  engine.says('interrupt').taken();
  engine
    .at('+20m')
    .says('resume', undefined, { rechecked: ['measure'] })
    .taken();
  engine.says('read', 'gap', { value: '0.10 mm', reason: 'planed the face' }).taken();
  engine.says('read', 'grain', { value: 'straight' }).taken();
  engine.says('read', 'rods', { value: '14' }).taken();
  engine.says('read', 'seen', { value: 'clean <b>wood</b> & no "cracks"' }).taken();
  engine.says('finish', 'measure').taken();
  engine.says('read', 'line', { value: '1.4 mm' }).taken();
  engine
    .says('dispose', 'line', {
      'as-what': 'use-as-is',
      reason: 'the designer looked',
      author: 'Dagny Roth',
      letter: 'letter.pdf',
      'letter-sha256': 'f'.repeat(64),
    })
    .taken();
  engine.says('finish', 'dry-fit').taken();
};

const bonded = (engine: Engine): void => {
  engine.says('lot', 'adhesive', { number: 'L-0417', 'use-by': '2027-01-31' }).taken();
  engine.says('shop', undefined, { temperature: '20 °C', surface: '19 °C', humidity: '55 %' }).taken();
  engine.says('temperature', '20.5 °C', { place: 'loft' }).taken();
  engine.says('mix', 'mix', { weights: { resin: '104.2 g', hardener: '47.9 g' }, discarded: true }).taken();
  engine
    .at('+5m')
    .says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' }, sample: 'S-1', with: ['marit'] })
    .taken();
  engine.says('finish', 'mix').taken();
  engine
    .at('+10m')
    .says('finish', 'bond', { with: ['marit'] })
    .taken();
  engine.at('+8h').says('temperature', '19 °C', { place: 'loft' }).taken();
  engine.at('+8h').says('temperature', '15 °C', { place: 'loft' }).taken();
  engine.at('+8h').says('temperature', '19 °C', { place: 'loft' }).taken();
  engine.at('+8h').says('temperature', '19 °C', { place: 'loft', lowest: '18.5 °C' }).taken();
  engine.at('+4h').says('temperature', '19 °C', { place: 'loft' }).taken();
  engine.says('finish', 'cure').taken();
  engine.says('break', 'S-1', { result: 'held', remark: 'wood fibre on both faces' }).taken();
  engine.says('finish', 'break').taken();
};

const bolted = (engine: Engine): void => {
  engine.says('use', 'torque-wrench', { tool: 'TW-2' }).taken();
  engine
    .says('park', undefined, {
      because: 'a washer is missing',
      'waits-for': 'washer',
      state: 'bolts in, finger tight',
      where: 'bench 2',
    })
    .taken();
  engine.at('+2d').says('unpark', undefined, { arrived: 'washers' }).taken();
  const drag = { drag: '10 in·lb', tool: 'TW-2', mark: true };
  engine.says('tighten', 'bolts', { fastener: 1, torque: '165 in·lb', ...drag }).taken();
  engine.says('tighten', 'bolts', { fastener: 2, torque: '16.5 in·lb', ...drag }).taken();
  engine.says('correct', `w:${engine.entries().length}`, { value: '166 in·lb', reason: 'typed the point' }).taken();
  engine
    .says('loose', 'cover-plate', {
      count: 1,
      left: 'finger tight',
      because: 'the cable comes later',
      before: 'hull-close',
    })
    .taken();
  engine
    .says('depart', 'manual', {
      says: 'AN3 bolts',
      did: 'AN4 bolts',
      because: 'the kit came with AN4',
      agreed: 'P. Quillon',
    })
    .taken();
  engine.says('photo', 'scarf', { file: 'scarf.jpg', 'file-sha256': 'a'.repeat(64) }).taken();
  engine.says('remark', 'cold morning').taken();
  engine.says('advise', 'I would have used more clamps', { from: 'marit' }).taken();
  engine.says('finish', 'bolts').taken();
};

const inspected = (engine: Engine, sign: Sign): void => {
  engine.says('invite', 'watch', { who: 'Marit', how: 'by telephone' }).taken();
  engine.says('finish', 'watch').taken();
  const findings = ['squeeze-out short at the aft end', 'mark missing on bolt 2'];
  engine.as('tobias').at('+1h');
  engine.says('refuse', 'inspect', { findings, ...answer(engine, sign, 'refuse', { findings }) }).taken();
  engine.as('ines').says('answer', 1, { remark: 'scraped: it is there, under dust' }).taken();
  engine.says('answer', 2, { remark: 'marked' }).taken();
  engine.as('tobias').at('+1h');
  const remark = 'squeeze-out continuous';
  const said = {
    remark,
    remote: true,
    shown: 'the whole seam, by telephone camera',
    'not-judged': 'the aft end, too dark',
  };
  engine.says('release', 'inspect', { ...said, ...answer(engine, sign, 'release', said) }).taken();
  engine.as('ines').says('finish', 'inspect').taken();
  engine.at('+1m').says('complete').taken();
};

/** A whole job: corrections, a try outside, a cup thrown away, a cold night, a refusal, a remote release. */
export const wholeJob = (sign: Sign = unsigned): Engine => {
  const engine = engineWith([scarf], {
    people: [
      { person: 'ines', name: 'Ines Varrow', powers: ['builder'] },
      { person: 'tobias', name: 'Tobias Hesk', powers: ['inspector'] },
      { person: 'marit', name: 'Marit Ollen', powers: ['adviser', 'witness'] },
    ],
    gates: ['hull-close', 'first-flight'],
    tools: [{ tool: 'TW-2', kind: 'torque-wrench', 'in-date-until': '2026-12-31' }],
  });
  measured(engine);
  bonded(engine);
  bolted(engine);
  inspected(engine, sign);
  return engine;
};

export const recordFrom = (engine: Engine, more: Partial<RecordBuild> = {}, previous?: string): RecordDocument => {
  const last = engine.entries().at(-1);
  if (!last) throw new Error('no entries');
  const job = engine.job();
  const head = { writer: 'w', seq: engine.entries().length, hash: last.hash };
  return recordOf(job, aroundOf(engine.state(), job, msOf(last.at)), { ...build, ...more }, head, previous);
};
