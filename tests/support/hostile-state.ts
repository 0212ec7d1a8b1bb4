import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Data } from '../../src/job/entry.ts';
import { fieldsOf } from '../../src/job/line-types.ts';
import { verbNames, verbSpec, type Verb } from '../../src/job/verbs.ts';
import { realDisk } from '../../src/store/disk.ts';
import { writeLine } from '../../src/workshop/open-state.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import { beginBuild } from '../../src/workshop/keys/people.ts';
import type { Workplace } from '../../src/workshop/place.ts';
import { openWorkshop, type Workshop } from '../../src/workshop/workshop.ts';

/* A state whose journal is correctly signed, by somebody who wants to control other people's terminals. */

/** Characters that control a terminal, hide text or reverse it, each between letters that must still be seen. */
export const steering =
  'Q\u001b[31mR\u009b2JS\u0007T\u0008U\rV\u202eW\u200fX\u0085Y\u0000Z\u200bA\u2066B\ufeffC\u007fD\nFORGED: E';

const text = (what: string): string => `${what}${steering}`;

/** A harmless build with a job under way. The procedure's names are harmless too, because a procedure cannot hold such characters. */
export const procedureOfHarm = `
procedure: harm
title: Bond it
revision: A
gather: { tools: [{ tool: gauge }], materials: [{ material: adhesive }] }
steps:
  - step: measure
    title: Measure
    readings:
      - { reading: gap, unit: mm, limits: at most 0.2 mm, source: invented }
      - { reading: seen, text: true }
    photo: [{ photo: end, show: the end }]
    loose: [{ item: elbow, count: 1, left: loose, because: later, before: hull-close }]
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, batch: 30 to 150 g, pot-life: 35 min at 20 °C, sample: true, source: invented }
  - step: glue
    title: Glue
    permanent: true
    in-pot-life-of: mix
  - step: bolts
    title: Tighten
    tighten: { fasteners: 1, torque: 160 to 190 in·lb, tool: gauge, mark: true, source: invented }
  - step: cure
    title: Cure
    cure: { of: mix, stages: { handle: 18 h at 18 °C }, floor: 18 °C, source: invented }
  - step: look
    title: Look
    hold: { by: inspector, look-for: [it] }
`;

/** Words that the rules of a job depend on. Every other text of an entry is free. */
const meant: Readonly<Record<string, Data>> = {
  begin: { step: 'measure' },
  finish: { step: 'measure' },
  mix: { step: 'mix', weights: { resin: '100 g', hardener: '44 g' }, batch: text('B-'), 'in-ratio': true },
  release: { step: 'look' },
  refuse: { step: 'look' },
  reinspect: { step: 'look' },
  invite: { step: 'look' },
  tighten: { step: 'bolts', fastener: 1 },
  skip: { step: 'cure' },
  undo: { step: 'measure' },
  answer: { finding: 1 },
  photo: { photo: 'end' },
};

const dataFor = (verb: Verb): Data => {
  const values: Record<string, Data[string]> = {};
  for (const field of fieldsOf(verb).all.filter(({ name }) => name !== 'clock-doubt' && name !== 'departures')) {
    const [first] = field.choices ?? [];
    values[field.name] =
      first ??
      {
        text: text(field.name),
        quantity: text('1 mm'),
        person: text('p'),
        name: text('p'),
        names: [text('p')],
        file: text('a.jpg'),
        whole: 1,
        yes: true,
        instant: '2026-03-02T11:00:00+01:00',
        day: '2027-01-31',
        list: [text('one'), text('two')],
        document: text('document'),
        texts: [text('one'), text('two')],
        wholes: [1],
        map: { [text('key')]: text('1 g') },
        value: text('1 mm'),
        calculation: { calculation: text('sum'), with: { [text('value1')]: text('1 mm') } },
        pages: [{ procedure: text('page'), sha256: text('0'), each: [text('left')], gates: [text('gate')] }],
        sheet: {
          gate: text('gate'),
          open: [{ kind: 'loose', what: text('open'), key: text('T-9') }],
          excepted: [{ kind: 'hold', what: text('hold'), key: text('h'), because: text('why'), by: text('p') }],
        },
      }[field.kind];
  }
  return { ...values, ...meant[verb] };
};

export const hostilePlace = (folder: string): Workplace => {
  let minute = 0;
  return {
    disk: realDisk,
    state: join(folder, 'state'),
    config: join(folder, 'home/.config/dryfit'),
    cache: join(folder, 'home/.cache/dryfit'),
    procedures: join(folder, 'procedures'),
    wall: () => Date.parse('2026-03-02T08:00:00Z') + (minute += 1) * 1000,
    monotonic: () => minute * 1000,
    offset: () => 60,
    random: (length) => crypto.getRandomValues(new Uint8Array(length)),
  };
};

/** Adds one entry without asking any rule, unless the build cannot be folded with it. */
const forge = (workshop: Workshop, type: string, data: Data, job: string): boolean => {
  const { place, openState } = workshop;
  const signer = keyring(place, workshop.state, () => 'ines')({})('ines');
  if (!signer.ok) throw new Error(signer.fault.what);
  const at = openState.clock.at();
  return writeLine(openState, { type, by: 'ines', job, at, data }, { signer: signer.value }).ok;
};

/** Writes the state into `folder` and gives the verbs of the entries in it. */
export const hostileState = (folder: string): readonly string[] => {
  mkdirSync(join(folder, 'procedures'), { recursive: true });
  writeFileSync(join(folder, 'procedures/harm.yaml'), procedureOfHarm);
  const place = hostilePlace(folder);
  const opened = openWorkshop(place, 'write');
  if (!opened.ok) throw new Error(opened.fault.what);
  const { value: workshop } = opened;
  try {
    const begun = beginBuild(workshop, { person: 'ines' });
    if (!begun.ok) throw new Error(begun.fault.what);
    const ring = keyring(place, workshop.state, () => 'ines')({});
    const started = workshop.submit({ verb: 'start', by: 'ines', job: '', data: { procedure: 'harm' } }, ring);
    if (!started.ok) throw new Error(started.fault.what);
    const { job } = started.value;
    const key = workshop.state().keys['ines']?.[0]?.key ?? '';
    forge(workshop, 'key', { person: 'ines', key, name: text('Ines ') }, '');
    const order: readonly Verb[] = ['mix', 'refuse', 'depart', 'loose', 'lot', 'read', 'photo'];
    const others = verbNames.filter((verb) => !order.includes(verb) && !['start', 'move', 'complete'].includes(verb));
    const written = [...order, ...others, 'read'].filter((verb) => {
      const isBuilds = verbSpec(verb as Verb).scope === 'build';
      return forge(workshop, verb, dataFor(verb as Verb), isBuilds ? '' : job);
    });
    return written;
  } finally {
    workshop.close();
  }
};
