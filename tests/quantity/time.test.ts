import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { civilFromDays, daysFromCivil } from '../../src/quantity/calendar.ts';
import {
  addMonths,
  endOfDay,
  parseDay,
  parseDuration,
  parseInstant,
  parseOffset,
  parseSpan,
  printDuration,
  printInstant,
  printOffset,
} from '../../src/quantity/time.ts';

const msOf = (text: string): number => {
  const read = parseInstant(text);
  return read.ok ? read.value.ms : Number.NaN;
};

describe('instants', () => {
  // The examples of RFC 3339 section 5.8; their epochs are computed.
  test.each([
    ['1985-04-12T23:20:50.52Z', 482_196_050_520],
    ['1996-12-19T16:39:57-08:00', 851_042_397_000],
    ['1996-12-20T00:39:57Z', 851_042_397_000],
    ['1990-12-31T23:59:60Z', 662_688_000_000],
    ['1990-12-31T15:59:60-08:00', 662_688_000_000],
    // Appendix C: 2000 is a leap year; the ends of every range.
    ['2000-02-29T00:00:00Z', 951_782_400_000],
    ['2024-04-30T23:59:59Z', 1_714_521_599_000],
    ['2024-01-31T00:00:00+23:59', 1_706_572_860_000],
    ['2024-01-31T00:00:00-23:59', 1_706_745_540_000],
    ['1970-01-01T00:00:00.123456789Z', 123],
    ['1970-01-01T00:00:00.1Z', 100],
  ])('RFC 3339: %s', (text, ms) => {
    expect(msOf(text)).toBe(ms);
  });

  test('RFC 3339 section 5.8: 1937-01-01T12:00:27.87+00:20 is 11:40:27.87Z', () => {
    expect(msOf('1937-01-01T12:00:27.87+00:20')).toBe(msOf('1937-01-01T11:40:27.87Z'));
    expect(msOf('1937-01-01T11:40:27.87Z')).toBe(Date.parse('1937-01-01T11:40:27.870Z'));
  });

  test.each([
    '2024-02-30T00:00:00Z', // RFC 3339 section 5.7: no such day, though JavaScript makes it 1 March
    '2023-02-29T00:00:00Z',
    '1900-02-29T00:00:00Z',
    '2024-01-01T24:00:00Z', // RFC 3339 section 5.6: hour 00 to 23
    '2024-01-01T12:60:00Z',
    '2024-01-01T12:00:61Z',
    '2024-01-01T12:00:60Z', // a leap second can only end a month
    '2024-00-01T00:00:00Z',
    '2024-13-01T00:00:00Z',
    '2024-01-00T00:00:00Z',
    '2024-04-31T00:00:00Z',
    '2024-06-31T00:00:00Z',
    '2024-09-31T00:00:00Z',
    '2024-11-31T00:00:00Z',
    '2024-01-32T00:00:00Z',
    '2100-02-29T00:00:00Z', // RFC 3339 appendix C: no leap year
    '2024-01-02T23:59:60Z', // the end of a day, not of a month
    '2023-12-31T23:58:60Z',
    ' 2024-01-01T00:00:00Z',
    '2024-01-01T00:00:00.1234567890Z',
    '2024-01-01T00:00:00',
    '2024-01-01 00:00:00Z',
    '2024-01-01T00:00Z',
    '2024-01-01T00:00:00.Z',
    '2024-01-01T00:00:00+24:00',
    '2024-01-01T00:00:00+01:60',
    '2024-01-01T00:00:00+0100',
    '2024-1-1T00:00:00Z',
    '2024-01-01T00:00:00Z\n',
    '',
    'yesterday',
    '2024-01-01T00:00:00Z'.repeat(100),
  ])('refused: %j', (text) => {
    const read = parseInstant(text);
    expect(read.ok ? '' : read.fault.code).toBe('instant-unreadable');
  });

  test('lower-case t and z are RFC 3339 too; microseconds are cut to milliseconds', () => {
    expect(msOf('1985-04-12t23:20:50.529999z')).toBe(482_196_050_529);
  });

  test('law: agrees with JavaScript’s own clock arithmetic, both ways', () => {
    const range = { min: Date.parse('0001-01-01T00:00:00Z'), max: Date.parse('9999-12-30T00:00:00Z') };
    fc.assert(
      fc.property(fc.integer(range), fc.integer({ min: -1439, max: 1439 }), (ms, offset) => {
        const printed = printInstant(ms, offset);
        const back = parseInstant(printed);
        return (
          Date.parse(printed) === ms &&
          back.ok &&
          back.value.ms === ms &&
          back.value.offset === offset &&
          printInstant(ms, 0) === new Date(ms).toISOString().replace('.000Z', 'Z')
        );
      }),
    );
  });

  test('is printed with its offset, and with Z for none', () => {
    expect(printInstant(msOf('2026-03-02T09:00:00+01:00'), 60)).toBe('2026-03-02T09:00:00+01:00');
    expect(printInstant(msOf('2026-03-02T09:00:00.5-03:30'), -210)).toBe('2026-03-02T09:00:00.500-03:30');
    expect(printInstant(0, 0)).toBe('1970-01-01T00:00:00Z');
  });
});

describe('offsets', () => {
  test.each([
    ['Z', 0],
    ['z', 0],
    ['+00:00', 0],
    ['-00:00', 0],
    ['+01:00', 60],
    ['-03:30', -210],
    ['\u221203:30', -210],
    ['+05:45', 345],
    ['+23:59', 1439],
  ])('%s is %d minutes east', (text, minutes) => {
    const read = parseOffset(text);
    expect(read.ok ? read.value : read.fault.what).toBe(minutes);
  });

  test.each(['', '01:00', '+1:00', '+0100', '+24:00', '+01:60', '+01:00 ', 'x+01:00', 'zz', 'UTC'])(
    'refused: %j',
    (text) => {
      const read = parseOffset(text);
      expect(read.ok ? '' : read.fault.code).toBe('offset-unreadable');
    },
  );

  test.each([
    [0, '+00:00'],
    [60, '+01:00'],
    [-210, '-03:30'],
    [-1, '-00:01'],
    [1439, '+23:59'],
  ])('%d minutes are printed as %s', (minutes, text) => {
    expect(printOffset(minutes)).toBe(text);
  });
});

describe('days and months', () => {
  // Day numbers of the calendar tables in RFC 3339 and POSIX: 1970-01-01 is day 0; 2000-01-01 is day 10957 (946684800 s).
  test.each([
    [0, 1970, 1, 1],
    [-1, 1969, 12, 31],
    [10_957, 2000, 1, 1],
    [11_016, 2000, 2, 29],
    [11_017, 2000, 3, 1],
    [-25_508, 1900, 3, 1],
    [-719_162, 1, 1, 1],
    [2_932_896, 9999, 12, 31],
  ])('day %d is %d-%d-%d', (days, year, month, day) => {
    expect(civilFromDays(days)).toEqual({ year, month, day });
    expect(daysFromCivil({ year, month, day })).toBe(days);
  });

  // An era of 400 years ends with a leap day; 4 and 100 years do not always.
  test('law: agrees with JavaScript’s calendar on every day around every turn of a century', () => {
    for (const year of [1599, 1600, 1699, 1700, 1899, 1900, 1999, 2000, 2001, 2004, 2099, 2100, 2399, 2400, 2401])
      for (let day = 0; day < 366; day += 1) {
        const date = new Date(Date.UTC(year, 0, 1) + day * 86_400_000);
        expect(civilFromDays(date.getTime() / 86_400_000)).toEqual({
          year: date.getUTCFullYear(),
          month: date.getUTCMonth() + 1,
          day: date.getUTCDate(),
        });
      }
  });

  test('law: civil dates and day numbers correspond one to one', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -1_000_000, max: 3_000_000 }),
        (days) => daysFromCivil(civilFromDays(days)) === days,
      ),
    );
  });

  test('a use-by date is good to the last millisecond of its day, where the builder is', () => {
    const day = parseDay('2027-01-31');
    if (!day.ok) throw new Error(day.fault.what);
    expect(printInstant(endOfDay(day.value, 60), 60)).toBe('2027-01-31T23:59:59.999+01:00');
    expect(endOfDay(day.value, 0)).toBe(Date.parse('2027-01-31T23:59:59.999Z'));
  });

  test.each(['2027-02-29', '2027-04-31', '2027-1-31', '31.01.2027', '', '2027-01-31T00:00:00Z', 'x2027-01-31'])(
    'not a day: %j',
    (text) => {
      expect(parseDay(text).ok).toBe(false);
    },
  );

  test.each([
    ['2026-01-31T10:00:00+01:00', 1, '2026-02-28T10:00:00+01:00'],
    ['2024-01-31T10:00:00Z', 1, '2024-02-29T10:00:00Z'],
    ['2026-08-31T23:30:00-05:00', 6, '2027-02-28T23:30:00-05:00'],
    ['2026-03-02T09:00:00+01:00', 12, '2027-03-02T09:00:00+01:00'],
    ['2026-03-31T09:00:00Z', -1, '2026-02-28T09:00:00Z'],
    ['2026-03-31T09:00:00Z', 1, '2026-04-30T09:00:00Z'],
    ['2026-05-31T00:30:00+01:00', 1, '2026-06-30T00:30:00+01:00'],
    ['2026-01-15T09:00:00Z', -13, '2024-12-15T09:00:00Z'],
    ['2026-12-15T09:00:00Z', 0, '2026-12-15T09:00:00Z'],
    // Late in the evening in UTC it is the next day there, and the other way round.
    ['2026-01-31T23:30:00+10:00', 1, '2026-02-28T23:30:00+10:00'],
    ['2026-02-01T00:30:00+10:00', 1, '2026-03-01T00:30:00+10:00'],
  ])('%s and %d months is %s', (from, months, to) => {
    const read = parseInstant(from);
    if (!read.ok) throw new Error(read.fault.what);
    expect(printInstant(addMonths(read.value.ms, read.value.offset, months), read.value.offset)).toBe(to);
  });
});

const unitWords = {
  wk: ['wk', 'week', 'weeks'],
  d: ['d', 'day', 'days'],
  h: ['h', 'hr', 'hrs', 'hour', 'hours'],
  min: ['m', 'min', 'mins', 'minute', 'minutes'],
  s: ['s', 'sec', 'secs', 'second', 'seconds'],
  ms: ['ms', 'millisecond', 'milliseconds'],
} as const;

describe('the words for units of time', () => {
  const milliseconds = { wk: 604_800_000, d: 86_400_000, h: 3_600_000, min: 60_000, s: 1000, ms: 1 } as const;
  const clock = (Object.keys(unitWords) as (keyof typeof unitWords)[]).flatMap((unit) =>
    unitWords[unit].map((word): [string, number] => [word, milliseconds[unit]]),
  );

  test.each(clock)('2 %s', (word, ms) => {
    for (const text of [`2 ${word}`, `2${word}`, `2 ${word}.`]) {
      const read = parseDuration(text);
      expect(read.ok ? read.value.ms : read.fault.what).toBe(2 * ms);
    }
  });

  test.each([
    ['y', 12],
    ['year', 12],
    ['years', 12],
    ['month', 1],
    ['months', 1],
    ['mo', 1],
  ])('2 %s of the calendar', (word, months) => {
    const read = parseSpan(`2 ${word}`);
    expect(read.ok ? [read.value.months, read.value.ms] : read.fault.what).toEqual([2 * months, 0]);
    expect(parseDuration(`2 ${word}`).ok).toBe(false);
  });

  test.each([...clock.map(([word]) => word), 'y', 'year', 'years', 'month', 'months', 'mo'])(
    'a letter too many before or after %s is no unit',
    (word) => {
      for (const text of [`2 q${word}`, `2 ${word}q`]) {
        const read = parseSpan(text);
        expect([text, read.ok ? '' : read.fault.code]).toEqual([text, 'span-unreadable']);
      }
    },
  );

  test('an “and”, points and no spaces between the parts', () => {
    for (const text of ['1 h and 30 min', '1 h. 30 min.', '1h30min', '1 hour  30 minutes'])
      expect(parseDuration(text)).toEqual({ ok: true, value: { text, ms: 5_400_000 } });
  });

  test.each([
    ['1 x', 'a unit of time is missing'],
    ['1', 'a unit of time is missing'],
    ['0.5 months', 'months are whole'],
    ['0.0001 s', 'it is no whole number of milliseconds'],
    ['1 h 1 d', 'the larger unit must come first, and each once'],
    ['1 h 1 h', 'the larger unit must come first, and each once'],
    ['-1 h', 'it is negative'],
    ['2000 years', 'it is longer than a thousand years'],
    ['h', 'a number and a unit are wanted'],
    ['', 'nothing, or too much, is written'],
  ])('refused, saying why: %j', (text, why) => {
    const read = parseSpan(text);
    expect(read.ok ? '' : read.fault.what).toContain(why);
  });

  test('a thousand years is the longest, in months and in days', () => {
    expect(parseSpan('1000 years').ok).toBe(true);
    expect(parseSpan('12000 months').ok).toBe(true);
    expect(parseSpan('12001 months').ok).toBe(false);
    expect(parseSpan('1000 years 1 month').ok).toBe(false);
    expect(parseDuration('365250 d').ok).toBe(true);
    expect(parseDuration('365250 d 1 ms').ok).toBe(false);
    expect(parseDuration('8766000 h').ok).toBe(true);
    expect(parseDuration('8766001 h').ok).toBe(false);
    expect(parseDuration('52178 weeks 3 days 48 h').ok).toBe(false);
  });
});

describe('durations', () => {
  test.each([
    ['24 h', 86_400_000],
    ['35 min', 2_100_000],
    ['7 d', 604_800_000],
    ['11 h 50 min', 42_600_000],
    ['11h50min', 42_600_000],
    ['90 s', 90_000],
    ['1.5 h', 5_400_000],
    ['1/3 h', 1_200_000],
    ['1½ h', 5_400_000],
    ['20m', 1_200_000],
    ['2 weeks', 1_209_600_000],
    ['0 s', 0],
    ['0.001 s', 1],
  ])('%s', (text, ms) => {
    const read = parseDuration(text);
    expect(read.ok ? read.value.ms : read.fault.what).toBe(ms);
  });

  test.each([
    '',
    '24',
    'h',
    '-1 h',
    '1 h 1 h',
    '5 min 1 h',
    '0.0001 s',
    '1/7 s',
    '6 months',
    '1e3 s',
    '1 h x',
    '9999999 d',
    '1,000 s',
    `1 h${' '.repeat(300)}`,
  ])('refused: %j', (text) => {
    const read = parseDuration(text);
    expect(read.ok ? '' : read.fault.code).toBe('duration-unreadable');
  });

  test.each([
    ['6 months', 6, 0],
    ['1 year', 12, 0],
    ['1 year 6 months', 18, 0],
    ['1 month 10 d', 1, 864_000_000],
    ['10 d', 0, 864_000_000],
    ['36 h', 0, 129_600_000],
  ])('span %s', (text, months, ms) => {
    const read = parseSpan(text);
    expect(read.ok ? [read.value.months, read.value.ms] : read.fault.what).toEqual([months, ms]);
  });

  test('half a month is refused as a span', () => {
    expect(parseSpan('0.5 months').ok).toBe(false);
  });

  test.each([
    [64_800_000, '18 h'],
    [42_600_000, '11 h 50 min'],
    [45_000, '45 s'],
    [604_800_000, '7 d'],
    [136_800_000, '38 h'],
    [0, '0 s'],
    [1, '0.001 s'],
    [-90_000, '-1 min 30 s'],
    [-0.4, '0 s'],
    [604_799_999, '167 h 59 min 59.999 s'],
    [608_400_000, '7 d 1 h'],
    [3_600_000, '1 h'],
    [3_660_000, '1 h 1 min'],
  ])('%d ms is %s', (ms, text) => {
    expect(printDuration(ms)).toBe(text);
  });

  test('law: is read back as it was printed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 31_000_000_000_000 }), (ms) => {
        const back = parseDuration(printDuration(ms));
        return back.ok && back.value.ms === ms;
      }),
    );
  });

  test('random texts are read or refused, and never throw', () => {
    const pieces = ['1', '24', ' ', 'h', 'min', 's', 'd', ',5', '½', '-', '/', 'months', 'T', ':', 'Z', '+', '\u0000'];
    const text = fc.oneof(
      fc.array(fc.constantFrom(...pieces), { maxLength: 12 }).map((parts) => parts.join('')),
      fc.string({ unit: 'binary' }),
    );
    fc.assert(
      fc.property(text, (typed) => {
        const [duration, span, instant] = [parseDuration(typed), parseSpan(typed), parseInstant(typed)];
        return (
          (!duration.ok || Number.isSafeInteger(duration.value.ms)) &&
          (!span.ok || Number.isSafeInteger(span.value.ms)) &&
          (!instant.ok || Number.isSafeInteger(instant.value.ms))
        );
      }),
      { numRuns: 5000 },
    );
  });
});
