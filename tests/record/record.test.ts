import type { Data } from '../../src/job/entry.ts';
import { describe, expect, it } from 'vitest';
import { jobOf, emptyBuild, type BuildState } from '../../src/aircraft/state.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { msOf } from '../../src/job/cure.ts';
import type { Datum } from '../../src/job/entry.ts';
import type { RecordStep } from '../../src/record/document-step.ts';
import type { RecordDocument } from '../../src/record/document.ts';
import { holdFilesOf } from '../../src/record/hold-files.ts';
import type { RecordReading } from '../../src/record/parts/reading.ts';
import { readRecord } from '../../src/record/read.ts';
import { recordOf, recordText } from '../../src/record/record.ts';
import { sha256Hex } from '../../src/proof/hash.ts';
import { build, recordFrom, wholeJob } from './fixture.ts';

const engine = wholeJob();
const document = recordFrom(engine);

const step = (id: string, of: RecordDocument = document): RecordStep => {
  const found = of.steps.find((one) => one.step === id);
  if (!found) throw new Error(`no step ${id}`);
  return found;
};

const reading = (id: string): RecordReading => {
  const found = document.steps.flatMap((one) => one.readings ?? []).find((one) => one.reading === id);
  if (!found) throw new Error(`no reading ${id}`);
  return found;
};

/** Every text and number that somebody typed, out of the entries of the job. */
const typed = (datum: Datum): readonly string[] => {
  if (datum === null || typeof datum === 'boolean') return [];
  if (typeof datum === 'string' || typeof datum === 'number') return [String(datum)];
  return (Array.isArray(datum) ? datum : Object.values(datum)).flatMap((one: Datum) => typed(one));
};

const leaves = (value: unknown): readonly string[] => {
  if (typeof value === 'string' || typeof value === 'number') return [String(value)];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(leaves) : [];
};

describe('a record', () => {
  it('has everything that was entered in the job', () => {
    const held = new Set(leaves(document));
    const struck = leaves(document).join('\n');
    const entries = engine.entries().filter((entry) => entry.job === engine.job().id || entry.type === 'temperature');
    expect(entries.length).toBeGreaterThan(45);
    for (const entry of entries) {
      // Signed answers are files beside the record, and a letter is kept by its hash: the record has the hashes.
      const { answer: _answer, 'answer-sig': _signature, letter: _path, ...data } = entry.data as Data;
      for (const text of typed(data))
        expect(held.has(text) || struck.includes(text), `${entry.type} ${entry.id}: ${text}`).toBe(true);
    }
  });

  it('lists every entry of the job with its hash, and says on which line of the journal it rests', () => {
    const own = engine.entries().filter((entry) => entry.job === engine.job().id || entry.type === 'start');
    expect(document.journal.entries.map(({ entry, hash }) => `${entry} ${hash}`)).toEqual(
      own.map(({ id, hash }) => `${id} ${hash}`),
    );
    expect(document.journal).toMatchObject({ writer: 'w', seq: engine.entries().length });
  });

  it('is the same for the same journal, byte for byte', () => {
    expect(recordText(recordFrom(wholeJob()))).toBe(recordText(document));
  });

  it('is read back as it was written, at every stage of the job', () => {
    let state: BuildState = emptyBuild;
    let records = 0;
    for (const entry of engine.entries()) {
      const after = evolveBuild(state, entry, engine.library);
      if (!after.ok) throw new Error(after.fault.what);
      state = after.value;
      const job = jobOf(state, state.jobOrder.at(-1) ?? '');
      if (!job) continue;
      const head = { writer: 'w', seq: 1, hash: entry.hash };
      const record = recordOf(job, aroundOf(state, job, msOf(entry.at)), build, head);
      const read = readRecord(Buffer.from(recordText(record)));
      expect(read, entry.type).toEqual({ ok: true, value: record });
      records += 1;
    }
    expect(records).toBeGreaterThan(45);
  });

  it('says that a job is not complete where it is not', () => {
    const job = { ...engine.job() };
    delete (job as { completed?: unknown }).completed;
    const record = recordOf(job, aroundOf(engine.state(), job, 0), build, document.journal);
    expect(record.job.completed).toBeUndefined();
    expect(document.job.completed?.by).toBe('ines');
  });

  it('names the record before it, and says scripted where a script wrote it', () => {
    expect(recordFrom(engine, {}, 'a'.repeat(64)).previous).toBe('a'.repeat(64));
    expect(document).not.toHaveProperty('previous');
    expect(recordFrom(engine, { scripted: true }).scripted).toBe(true);
    expect(recordFrom(engine, { scripted: true }).statement.cautions[0]).toMatch(/rehearsal/);
    expect(document).not.toHaveProperty('scripted');
  });

  it('says what signed means, and that dryfit approves nothing', () => {
    expect(document.statement.signed.join(' ')).toMatch(/no proof of the identity/);
    expect(document.statement.cautions.join(' ')).toMatch(/dryfit approves nothing/);
    expect(document.statement.cautions.join(' ')).toMatch(/no substitute for the kit's manual/);
    expect(document.statement.cautions.join(' ')).toMatch(/differ from country to country/);
    expect(document.statement.cautions.join(' ')).toMatch(/only as good as what was typed in/);
  });
});

describe('values', () => {
  it('keeps a struck value with its person, time and reason beside the one that took its place', () => {
    const aft = reading('thickness').entered.find((one) => one.position === 'aft');
    expect(aft).toMatchObject({ value: '21.9 mm', verdict: 'within' });
    expect(aft?.struck).toMatchObject([
      { value: '219 mm', by: 'ines', reason: 'slipped the point', 'struck-by': 'ines' },
    ]);
  });

  it('keeps every try with its number, a try outside too', () => {
    expect(reading('gap').entered.map(({ number, value, verdict }) => [number, value, verdict])).toEqual([
      [1, '0.25 mm', 'outside'],
      [2, '0.10 mm', 'within'],
    ]);
    expect(reading('gap').entered[1]?.reason).toBe('planed the face');
  });

  it('shows both times where a value was entered late, and one where it was not', () => {
    expect(reading('gap').entered[0]).toMatchObject({
      when: '2026-03-02T09:01:00+01:00',
      at: '2026-03-02T09:03:00+01:00',
    });
    expect(reading('gap').entered[1]).not.toHaveProperty('when');
  });

  it('gives no verdict where there is nothing to decide', () => {
    expect(reading('seen').entered[0]).not.toHaveProperty('verdict');
    expect(reading('grain').entered[0]?.verdict).toBe('within');
  });

  it('gives what the wrench had to show, and the torque at the fastener: AC 43.13-1B 7-40, with the drag and the adapter', () => {
    // 160 × 305/355 + 10 = 147.4648 and 190 × 305/355 + 10 = 173.2394; (165 - 10) × 355/305 = 180.4098.
    expect(step('bolts').tighten?.entered[0]).toMatchObject({
      torque: '165 in·lb',
      drag: '10 in·lb',
      'wrench-limits': '147.465 in·lb to 173.239 in·lb',
      'at-fastener': '180.41 in·lb',
      verdict: 'within',
      tool: 'TW-2',
      mark: true,
    });
    expect(step('bolts').tighten?.entered[1]?.struck[0]?.value).toContain('16.5 in·lb');
  });
});

describe('a bond', () => {
  it('keeps a discarded batch, with its weights and its verdict', () => {
    const [first, second] = step('mix').mix?.batches ?? [];
    expect(first).toMatchObject({ batch: 'B-1', ratio: 'outside' });
    expect(first?.discarded?.because).toBeTruthy();
    // 104.2 × 0.44 = 45.848, ± 2 %: 44.93104 to 46.76496.
    expect(first?.weights[1]).toEqual({
      part: 'hardener',
      weight: '47.9 g',
      target: '45.848 g',
      from: '44.93104 g',
      to: '46.76496 g',
    });
    expect(second).toMatchObject({ batch: 'B-2', ratio: 'within', with: ['marit'] });
    expect(second?.lots).toContainEqual({ part: 'resin', number: 'L-0417' });
    expect(second?.sample).toMatchObject({
      sample: 'S-1',
      broken: { result: 'held', remark: 'wood fibre on both faces' },
    });
  });

  it('gives clock hours and counted hours side by side, and says why a stretch counts nothing', () => {
    const cure = step('cure').cure;
    expect(cure).toMatchObject({ begun: '2026-03-02T09:38:00+01:00', clock: '86 h 1 min' });
    expect(cure?.stages[0]).toEqual({
      stage: 'handle',
      needs: ['18 h at 18 °C'],
      counted: '18 h',
      needed: '18 h',
      reached: true,
      'as-of': '2026-03-03T19:38:00+01:00',
    });
    expect(cure?.stages[1]).toMatchObject({ counted: '20 h', reached: false, 'as-of': '2026-03-05T23:39:00+01:00' });
    expect(cure?.intervals.map(({ counted, why }) => why ?? counted)).toEqual([
      true,
      'below the floor',
      'below the floor',
      true,
      true,
    ]);
    expect(cure?.readings.some(({ lowest }) => lowest === '18.5 °C')).toBe(true);
  });
});

describe('people and holds', () => {
  it('keeps the powers of people apart from what they did: performed, helped, inspected, advised', () => {
    expect(document.people.map(({ person, powers, did }) => [person, powers, did])).toEqual([
      ['ines', ['builder'], ['performed']],
      ['tobias', ['inspector'], ['inspected']],
      ['marit', ['adviser', 'witness'], ['helped', 'advised', 'was invited to witness']],
      ['Dagny Roth', [], ['accepted a disposition by letter']],
      ['P. Quillon', [], ['is said to have agreed to a departure']],
    ]);
    expect(document.signer).toBe('ines');
  });

  it('keeps a refusal with its findings and their answers for ever', () => {
    const hold = step('inspect').hold;
    expect(hold?.looks.map(({ kind, as, findings }) => [kind, as, findings])).toEqual([
      ['refuse', 'present', [1, 2]],
      ['release', 'remote', [1, 2]],
    ]);
    expect(hold?.findings.map(({ finding, text, answers }) => [finding, text, answers[0]?.remark])).toEqual([
      [1, 'squeeze-out short at the aft end', 'scraped: it is there, under dust'],
      [2, 'mark missing on bolt 2', 'marked'],
    ]);
    expect(hold?.performers).toEqual(['ines', 'marit']);
  });

  it('names the file and the hashes of every signed answer, whose text is kept as it was signed', () => {
    const files = holdFilesOf(engine.job());
    const answers = step('inspect').hold?.looks.map((look) => look.answer);
    expect(files).toHaveLength(2);
    expect(answers).toEqual(
      files.map(({ file, text, signature }) => ({
        file,
        sha256: sha256Hex(text),
        'signature-sha256': sha256Hex(signature),
      })),
    );
    expect(new Set(files.map(({ file }) => file)).size).toBe(2);
  });

  it('says that an invited witness did not come', () => {
    expect(step('watch').hold).toMatchObject({ kind: 'witness point', looks: [{ kind: 'invite', who: 'marit' }] });
  });

  it('keeps advice apart from remarks', () => {
    expect(document.advice).toMatchObject([{ from: 'marit', text: 'I would have used more clamps' }]);
    expect(document.remarks.map(({ text }) => text)).toEqual(['cold morning']);
  });
});

describe('what is not as the manual has it', () => {
  it('has the three lines of a departure', () => {
    expect(document.departures).toMatchObject([
      {
        says: 'AN3 bolts',
        did: 'AN4 bolts',
        because: 'the kit came with AN4',
        agreed: 'P. Quillon',
        agreement: 'by word, not signed',
        code: 'manual',
      },
    ]);
  });

  it('says by letter, not signed here, where the designer accepted by letter', () => {
    expect(document.dispositions).toMatchObject([
      { on: 'line', as: 'use-as-is', accepted: 'by letter, not signed here', letter: 'f'.repeat(64) },
    ]);
    expect(document.nonconformances).toMatchObject([
      { on: 'line', open: false, disposition: document.dispositions[0]?.entry },
    ]);
  });

  it('counts the loose items that are still open', () => {
    expect(document.loose).toMatchObject([{ item: 'cover-plate', count: 1, open: 1, before: 'hull-close' }]);
  });

  it('keeps pauses with the state of the work before and after, tools, lots, and what is due again', () => {
    expect(document.parks).toMatchObject([{ 'waits-for': 'washer', where: 'bench 2', ended: { arrived: 'washers' } }]);
    expect(document.interruptions).toMatchObject([{ resumed: { rechecked: ['measure'] } }]);
    expect(document.tools).toEqual([
      {
        tool: 'TW-2',
        kind: 'torque-wrench',
        'in-date-until': '2026-12-31',
        used: ['bolts fastener 1', 'bolts fastener 2'],
      },
      { kind: 'feeler-gauge', used: [] },
    ]);
    expect(document.lots).toMatchObject([{ number: 'L-0417', 'use-by': '2027-01-31' }]);
    expect(document['follow-ups']).toMatchObject([{ step: 'bolts', at: ['1 h', '10 h'], every: '50 h' }]);
    expect(document.photos).toMatchObject([{ photo: 'scarf', sha256: 'a'.repeat(64) }]);
  });
});

describe('the words', () => {
  it('never says approved, airworthy, certified, safe or compliant, except to deny it', () => {
    const own = JSON.stringify(document);
    const denials = /dryfit approves nothing|not an approval of airworthiness/g;
    expect(own.match(denials)).toHaveLength(2);
    expect(own.replace(denials, '')).not.toMatch(/approv|airworth|certif|\bsafe|complian/i);
    expect(own).not.toMatch(/measured"?:/);
  });
});

describe('a permanent step', () => {
  it('keeps what was shown before it, by the entry that mixed its glue', () => {
    expect(step('bond')['shown-before']).toMatchObject({
      by: 'ines',
      shown: ['bond fixes keel-line, proved by dry-fit', 'bond covers scarf-face'],
    });
  });
});
