import ICAL from 'ical.js';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { machine, projectFolder } from '../support/command.ts';

const script = `script: a cure that runs
build: { people: [{ person: first, powers: [builder] }] }
procedures: ${join(projectFolder, 'tests/e2e/procedures')}
entries:
  - { at: 2026-03-02T09:00:00+01:00, as: first, start: block-bond }
  - { read: gap, value: 0.1 mm }
  - { finish: dry-fit }
  - { lot: adhesive, number: L-204, use-by: 2027-01-31 }
  - { mix: mix, weights: { resin: 100 g, hardener: 44 g }, sample: S-1 }
  - { finish: mix }
  - { at: +10min, finish: spread }
  - { temperature: 20 °C }
  - { at: +2h, temperature: 20 °C }
`;

describe('the calendar from the command line', () => {
  const own = machine();
  beforeAll(async () => {
    const ran = await own.run(['rehearse', own.file('s.yaml', script), '--state', own.state]);
    expect(ran.err).toBe('');
  });

  it.each([['status'], ['record', 'block-bond']])(
    'dryfit %s %s --format ics: one alarm at the forecast',
    async (...words) => {
      const ran = await own.run([...words, '--format', 'ics'], { now: '2026-03-02T11:10:00+01:00' });
      expect(ran).toMatchObject({ code: 0, err: '' });
      expect(ran.out).toMatch(/^BEGIN:VCALENDAR\r\n/);
      expect(ran.out.replaceAll('\r\n', '')).not.toContain('\n');
      const calendar = new ICAL.Component(ICAL.parse(ran.out) as unknown[]);
      const [event, ...others] = calendar.getAllSubcomponents('vevent');
      expect(others).toEqual([]);
      // 10 h above the floor from 09:10, two of them counted by 11:10
      expect(event?.getFirstPropertyValue('dtstart')?.toString()).toBe('2026-03-02T18:10:00Z');
      expect(event?.getAllSubcomponents('valarm')).toHaveLength(1);
    },
  );

  it('an unknown format is called wrongly', async () => {
    const ran = await own.run(['status', '--format', 'xml']);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('text, json, ics');
  });
});
