import fc from 'fast-check';
import ICAL from 'ical.js';
import { describe, expect, it } from 'vitest';
import { statusOf } from '../../src/aircraft/status.ts';
import { cureCalendar } from '../../src/report/calendar.ts';
import { foldLine, icalText, printIcal } from '../../src/report/ical.ts';
import type { Engine } from '../support/engine.ts';
import { bond, dryFitted } from '../job/fixtures.ts';

const now = Date.parse('2026-03-02T12:00:00Z');

const curing = (title: string): Engine => {
  const engine = dryFitted(bond.replace(/^title: .*$/m, `title: ${JSON.stringify(title)}`));
  engine.says('lot', 'adhesive', { number: 'L-204', 'use-by': '2027-01-31' }).taken();
  const weights = { resin: '100 g', hardener: '44 g' };
  engine.says('mix', 'mix', { weights, with: 'marit', sample: 'S-1' }).taken();
  engine.says('finish', 'mix').taken();
  engine.says('temperature', '20 °C').taken();
  engine.at('+30min').says('finish', 'bond').taken();
  return engine;
};

const read = (text: string): ICAL.Component => new ICAL.Component(ICAL.parse(text) as unknown[]);

describe('the calendar of the cures', () => {
  it('has an event and an alarm at each forecast, which another library reads', () => {
    const title = 'Bond; the keel, scarf \\ left: naïve 接着 '.repeat(4);
    const status = statusOf(curing(title).state(), now);
    const forecasts = status.jobs.flatMap((job) => job.cures.flatMap((cure) => cure.stages.map((one) => one.forecast)));
    expect(forecasts.length).toBeGreaterThan(1);
    const calendar = read(cureCalendar(status, now));
    expect(calendar.getFirstPropertyValue('version')).toBe('2.0');
    const events = calendar.getAllSubcomponents('vevent');
    const starts = events.map((event) => new ICAL.Event(event).startDate.toJSDate().getTime());
    expect(starts).toEqual(forecasts.map((forecast) => Math.ceil(Date.parse(forecast ?? '') / 1000) * 1000));
    for (const event of events) {
      const alarm = event.getFirstSubcomponent('valarm');
      expect(alarm?.getFirstPropertyValue('trigger')?.toString()).toBe('PT0S');
      expect(alarm?.getFirstPropertyValue('action')).toBe('DISPLAY');
      expect(event.getFirstPropertyValue('summary')).toContain(title);
      expect(event.getFirstPropertyValue('dtstamp')?.toString()).toBe('2026-03-02T12:00:00Z');
    }
    const uids = events.map((event) => event.getFirstPropertyValue('uid'));
    expect(new Set(uids).size).toBe(events.length);
    const later = read(cureCalendar(statusOf(curing(title).state(), now + 60_000), now + 60_000));
    expect(later.getAllSubcomponents('vevent')).toHaveLength(events.length);
  });

  it('gives the same event the same UID', () => {
    const engine = curing('Bond');
    const uids = (at: number): readonly unknown[] =>
      read(cureCalendar(statusOf(engine.state(), at), at))
        .getAllSubcomponents('vevent')
        .map((event) => event.getFirstPropertyValue('uid'));
    expect(uids(now)).toEqual(uids(now + 3_600_000));
  });

  it('has a note where nothing is forecast', () => {
    const calendar = read(cureCalendar({ build: '', jobs: [] }, now));
    expect(calendar.getAllSubcomponents('vevent')).toHaveLength(0);
    expect(calendar.getFirstSubcomponent('vjournal')?.getFirstPropertyValue('summary')).toContain('no cure');
  });
});

describe('content lines', () => {
  it('are at most 75 octets, end in CRLF, break no character, and unfold to what they were', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 400 }), (text) => {
        const line = `SUMMARY:${icalText(text)}`;
        const folded = foldLine(line);
        expect(folded.endsWith('\r\n')).toBe(true);
        for (const one of folded.slice(0, -2).split('\r\n')) expect(Buffer.byteLength(one)).toBeLessThanOrEqual(75);
        expect(Buffer.from(folded).toString('utf8')).toBe(folded);
        expect(folded.slice(0, -2).replaceAll('\r\n ', '')).toBe(line);
      }),
    );
  });

  it('are read by another library with every text as it was', () => {
    const plain = fc.string({ unit: fc.constantFrom(...'aB \\;,:"\n%é接😀') });
    fc.assert(
      fc.property(plain, (text) => {
        const event = { name: 'VEVENT', properties: [['SUMMARY', icalText(text)]] } as const;
        const calendar = read(printIcal({ name: 'VCALENDAR', properties: [], components: [event] }));
        expect(calendar.getFirstSubcomponent('vevent')?.getFirstPropertyValue('summary')).toBe(text);
      }),
    );
  });

  it('have no character that steers a terminal', () => {
    expect(icalText('a\u001b[31m\r\nb\u202e')).toBe('a\\\\u{1b}[31m\\nb\\\\u{202e}');
  });
});
