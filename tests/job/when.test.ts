import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Data } from '../../src/job/entry.ts';
import { verbNames, verbSpec, type Verb } from '../../src/job/verbs.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { addMs } from '../support/instants.ts';
import { bond, scale } from './fixtures.ts';

const nine = '2026-03-02T09:00:00+01:00';

const started = (): Engine => {
  const engine = engineWith([bond], { tools: scale }).at(nine);
  engine.says('start', 'bond').taken();
  return engine;
};

/** Something for every field of a verb, so that it could be taken if its time were right. */
const filled = (verb: Verb): Data => {
  const { object, fields, brought = [] } = verbSpec(verb);
  const of: Readonly<Record<string, Data[string]>> = {
    quantity: '20 °C',
    whole: '1',
    map: { resin: '100 g', hardener: '44 g' },
    day: '2027-01-31',
    instant: nine,
    calculation: { calculation: 'sum', with: { value1: '1 mm', value2: '2 mm' } },
  };
  const required = [...(object ? [object] : []), ...fields, ...brought].filter((field) => field.required);
  return Object.fromEntries(required.map(({ name, kind, choices }) => [name, choices?.[0] ?? of[kind] ?? 'x']));
};

describe('what has not happened yet', () => {
  it('is refused, whatever the verb', () => {
    for (const verb of verbNames) {
      const engine = started();
      engine.says(verb, undefined, filled(verb), addMs(nine, '61s')).refused('when-ahead');
    }
  });

  it('may be ahead by a minute, because people type minutes', () => {
    const engine = started();
    engine.says('temperature', '20 °C', {}, addMs(nine, '60s')).taken();
    engine.says('temperature', '20 °C', {}, addMs(nine, '61s')).refused('when-ahead');
  });

  it('is refused as a row of a logger too', () => {
    const engine = started();
    const row = (time: string): string => `time,temp (C)\n2026-03-02 08:00,20\n${time},21\n`;
    const fault = engine.says('temperatures', 'a.csv', engine.log(row('2026-03-02 09:02'))).refused('when-ahead');
    expect(fault.where).toBe('a.csv:3');
    engine.says('temperatures', 'a.csv', engine.log(row('2026-03-02 09:01'))).taken();
  });

  it('says what time it is, and what to do', () => {
    const fault = started().says('temperature', '19 °C', {}, '2026-03-02T22:00:00+01:00').refused('when-ahead');
    expect(fault.what).toContain('2026-03-02T22:00:00+01:00');
    expect(fault.what).toContain(nine);
    expect(fault.todo).toContain('clock');
  });
});

describe('work on a step', () => {
  it('cannot be done before the job was started', () => {
    const engine = started().at('+1h');
    engine.says('begin', 'measure', {}, addMs(nine, '-61s')).wrong('when-early');
    engine.says('read', 'gap', { value: '0.1 mm' }, addMs(nine, '-2m')).wrong('when-early');
    engine.says('read', 'gap', { value: '0.1 mm' }, addMs(nine, '-59s')).taken();
  });

  it('cannot be done before the step before was finished', () => {
    const engine = started().at('+1h');
    engine.says('read', 'gap', { value: '0.1 mm' });
    engine.says('read', 'width', { value: '12.5 mm' });
    engine.says('finish', 'measure').taken();
    engine.at('+1h').says('finish', 'dry-fit', {}, addMs(nine, '58m')).wrong('when-early');
    engine.says('begin', 'dry-fit', {}, addMs(nine, '30m')).wrong('when-early');
    engine.says('finish', 'dry-fit', {}, addMs(nine, '70m')).taken();
  });

  it('leaves temperatures, the shop, lots, tools and remarks free', () => {
    const engine = started().at('+1h');
    const early = addMs(nine, '-10h');
    engine.says('temperature', '20 °C', {}, early).taken();
    engine.says('shop', undefined, { humidity: '55 %' }, early).taken();
    engine.says('lot', 'adhesive', { number: 'L-1' }, early).taken();
    engine.says('use', 'scale', { tool: 'SC-1' }, early).fault();
    engine.says('tool', scale[0]?.tool ?? '', { found: 'checked' }, early).taken();
    engine.says('remark', 'swept the floor', {}, early).taken();
  });

  it('is never early at the time at which it is entered', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom('0s', '30s', '1h'), { maxLength: 6 }), (pauses) => {
        const engine = started();
        const acts: readonly (readonly [Verb, string, Data])[] = [
          ['read', 'gap', { value: '0.1 mm' }],
          ['read', 'width', { value: '12.5 mm' }],
          ['finish', 'measure', {}],
          ['finish', 'dry-fit', {}],
        ];
        for (const [index, [verb, object, data]] of acts.entries())
          engine
            .at(`+${pauses[index] ?? '0s'}`)
            .says(verb, object, data)
            .taken();
      }),
      { numRuns: 20 },
    );
  });
});
