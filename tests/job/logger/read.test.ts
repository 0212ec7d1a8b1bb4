import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { readLog } from '../../../src/job/logger/read.ts';
import { rowsAt, rowsIn, rowsText, type Log, type LogWords } from '../../../src/job/logger/log.ts';
import { degreesOf } from '../../../src/quantity/ticks.ts';
import { escapeText } from '../../../src/fault/escape.ts';

const bytes = (text: string): Uint8Array => Buffer.from(text, 'utf8');

const taken = (text: string | Uint8Array, words?: LogWords): Log => {
  const log = readLog(typeof text === 'string' ? bytes(text) : text, 'log.csv', words);
  expect(log.ok ? 'read' : `${log.fault.what}; ${log.fault.todo}`).toBe('read');
  return log.ok ? log.value : ({} as Log);
};

/** `2026-03-02T09:00:00.000Z 20.5` for each row. The time is read as UTC where the log gives no offset. */
const rows = (log: Log): readonly string[] =>
  Array.from(
    log.ms,
    (ms, row) => `${new Date(ms).toISOString()} ${degreesOf(log.ticks[row] ?? 0, log.scale).toString()}`,
  );

const fault = (text: string, words?: LogWords) => {
  const log = readLog(bytes(text), 'log.csv', words);
  expect(log.ok, text).toBe(false);
  if (log.ok) throw new Error('read');
  expect(log.fault.kind).toBe('usage');
  expect(log.fault.code).toBe('log-unreadable');
  expect(log.fault.todo).toContain('nothing was imported');
  return log.fault;
};

const two = ['2026-03-02T09:00:00.000Z 20.5', '2026-03-02T09:10:00.000Z 19.25'];

describe('a logger’s file, as loggers write it', () => {
  it.each<[string, string, LogWords?]>([
    ['comma, RFC 3339', 'time,temperature (°C)\n2026-03-02T10:00:00+01:00,20.5\n2026-03-02T10:10:00+01:00,19.25\n'],
    ['no line feed at the end', 'time,temperature (°C)\n2026-03-02T09:00:00Z,20.5\n2026-03-02T09:10:00Z,19.25'],
    ['CRLF', 'time,temp_c\r\n2026-03-02T09:00:00Z,20.5\r\n2026-03-02T09:10:00Z,19.25\r\n'],
    ['a byte order mark', '\ufefftime,temp_c\n2026-03-02T09:00:00Z,20.5\n2026-03-02T09:10:00Z,19.25\n'],
    [
      'semicolons and decimal commas',
      'Zeit;time;Temperature [°C]\n1;02.03.2026 09:00;20,5\n2;02.03.2026 09:10:00;19,25\n',
    ],
    ['tabs', 'time\ttemp (C)\n2026-03-02 09:00\t20.5\n2026-03-02 09:10\t19.25\n'],
    ['quotes', '"Date Time, GMT+01:00","Temp, °C"\n"2026-03-02 10:00:00","20,5"\n"2026-03-02 10:10:00","19.25"\n'],
    ['date and time apart', 'Date,Time,Temp (°C)\n2026-03-02,09:00,20.5\n2026-03-02,09:10:00,19.25\n'],
    [
      'month first, shown by a later row',
      'time,temp (C)\n03/02/2026 09:00,20.5\n03/02/2026 09:10,19.25\n03/13/2026 9:00,1\n',
    ],
    ['half days', 'time,temp (C)\n13/02/2026 1:00 AM,1\n02/03/2026 9:00:00 AM,20.5\n02/03/2026 09:10 am,19.25\n'],
    ['said day first', 'time,temp (C)\n02/03/2026 09:00,20.5\n02/03/2026 09:10,19.25\n', { dates: 'day-first' }],
    ['said month first', 'time,temp (C)\n03/02/2026 09:00,20.5\n03/02/2026 09:10,19.25\n', { dates: 'month-first' }],
    ['epoch seconds', 'epoch,temp (C)\n1772442000,20.5\n1772442600,19.25\n'],
    ['epoch milliseconds', 'timestamp,temp (C)\n1772442000000,20.5\n1772442600000,19.25\n'],
    ['no headings, the unit in the cells', '2026-03-02 09:00,20.5 °C\n2026-03-02 09:10,19.25 °C\n'],
    ['no headings, the unit said', '2026-03-02 09:00,20.5\n2026-03-02 09:10,19.25\n', { unit: '°C' }],
    [
      'blank lines and remarks',
      '# of TH-1\n\ntime,temp (C)\n2026-03-02 09:00,20.5\n\n# battery changed\n2026-03-02 09:10,19.25\n',
    ],
    [
      'lines above the headings',
      'Device: logger\nSerial;12\ntime,temp (C)\n2026-03-02 09:00,20.5\n2026-03-02 09:10,19.25\n',
    ],
    [
      'headings after a #',
      '"#","Date Time, GMT+00:00","Temp, °C"\n1,2026-03-02 09:00,20.5\n2,2026-03-02 09:10,19.25\n',
    ],
    [
      'several temperatures, one said',
      'time,inside (°C),outside (°C)\n2026-03-02 09:00,20.5,1\n2026-03-02 09:10,19.25,2\n',
      { column: 'Inside (°C)' },
    ],
    [
      'several temperatures, one said by its number',
      'time,outside (°C),inside (°C)\n2026-03-02 09:00,1,20.5\n2026-03-02 09:10,2,19.25\n',
      { column: '3' },
    ],
    [
      'humidity and dew point beside it',
      'time,Dew point (°C),temperature (°C),humidity (%RH)\n2026-03-02 09:00,3,20.5,55\n2026-03-02 09:10,3,19.25,56\n',
    ],
    ['a separator at the end of each line', 'time,temp (C),\n2026-03-02 09:00,20.5,\n2026-03-02 09:10,19.25,,\n'],
    ['headings twice', 'time,temp (C)\n2026-03-02 09:00,20.5\ntime,temp (C)\n2026-03-02 09:10,19.25\n'],
  ])('%s', (_, text, words) => {
    expect(
      rows(taken(text, words))
        .slice(-3)
        .filter((row) => row.startsWith('2026-03-02')),
    ).toEqual(two);
  });

  it('reads a file in a one-byte encoding, whose ° is one byte, and a file in UTF-16', () => {
    const text = 'time,temperature (°C)\n2026-03-02 09:00,20.5\n2026-03-02 09:10,19.25\n';
    expect(rows(taken(Buffer.from(text, 'latin1')))).toEqual(two);
    expect(rows(taken(Buffer.from(`\ufeff${text}`, 'utf16le')))).toEqual(two);
  });

  it('reads °F and K exactly', () => {
    const log = taken('time,temp (°F)\n2026-03-02 09:00,64.4\n');
    expect(log.scale).toBe('°F');
    expect(log.ticks[0]).toBe(taken('time,temp (C)\n2026-03-02 09:00,18\n').ticks[0]);
    expect(log.ticks[0]).toBe(taken('time,temp (K)\n2026-03-02 09:00,291.15\n').ticks[0]);
  });

  it('says that times without an offset are the logger’s own, and reads those with one', () => {
    const local = taken('time,temp (C)\n2026-03-02 09:00,20\n');
    expect(local.isLocal).toBe(true);
    expect(new Date(rowsAt(local, 60).ms[0] ?? 0).toISOString()).toBe('2026-03-02T08:00:00.000Z');
    const zoned = taken('time,temp (C)\n2026-03-02 09:00 +01:00,20\n');
    expect(zoned.isLocal).toBe(false);
    expect(new Date(rowsAt(zoned, 300).ms[0] ?? 0).toISOString()).toBe('2026-03-02T08:00:00.000Z');
    expect(taken('epoch,temp (C)\n1772442000,20.5\n').isLocal).toBe(false);
    const headed = taken('Date Time, GMT-05:00;temp (C)\n2026-03-02 09:00;20\n');
    expect(headed.isLocal).toBe(false);
    expect(headed.read).toMatchObject({ times: 'without offset', offset: '-05:00' });
    expect(rows(headed)).toEqual(['2026-03-02T14:00:00.000Z 20']);
    expect(taken('time (UTC),temp (C)\n2026-03-02 09:00,20\n').isLocal).toBe(false);
  });

  it('sorts rows out of order, drops repeated ones, keeps two values of one instant, and reports each', () => {
    const log = taken(
      'time,temp (C)\n2026-03-02 09:10,19\n2026-03-02 09:00,20\n2026-03-02 09:10,18\n2026-03-02 09:10,19\n',
    );
    expect(rows(log)).toEqual([
      '2026-03-02T09:00:00.000Z 20',
      '2026-03-02T09:10:00.000Z 18',
      '2026-03-02T09:10:00.000Z 19',
    ]);
    expect(log.read).toEqual({ times: 'without offset', column: '2', unit: '°C', late: '1', twice: '1' });
    expect(log.said.slice(1)).toEqual([
      '1 row came before the one above it, and was sorted',
      '1 row stood twice, and counts once',
    ]);
  });

  it('reports the columns that it did not read', () => {
    expect(taken('time,temp (C),humidity (%)\n2026-03-02 09:00,20,55\n').said).toEqual([
      'column 2, "temp (C)" in °C',
      'not read: humidity (%)',
    ]);
  });
});

describe('a file that cannot be read is refused by line and column, and nothing is imported', () => {
  it.each<[string, RegExp, number, LogWords?]>([
    [
      'time,temp (C)\n2026-03-02 09:00,20\n2026-03-02 09:10,ERR\n',
      /line 3, column 2, "temp \(C\)": "ERR" is no temperature/,
      3,
    ],
    ['time,temp (C)\n2026-03-02 09:00,\n', /line 2, column 2, "temp \(C\)": is empty/, 2],
    [
      'time,temp (C)\n2026-03-02 09:00,20\n2026-03-32 09:10,20\n',
      /line 3, column 1, "time": "2026-03-32 09:10" is no day/,
      3,
    ],
    ['time,temp (C)\n2026-02-29 09:00,20\n', /is no day of the calendar/, 2],
    ['time,temp (C)\n2026-03-02 24:00,20\n', /is no time of day/, 2],
    ['time,temp (C)\n2026-03-02,20\n', /is no date and time/, 2],
    ['time,temp (C)\n02/03/26 09:00,20\n', /has no year of four digits/, 2, { dates: 'day-first' }],
    ['time,temp (C)\n2026-03-02 09:00+25:00,20\n', /no offset that there is/, 2],
    ['time,temp (C)\n02/03/2026 09:00,20\n04/03/2026 09:00,20\n', /may mean two days/, 2],
    [
      'time,temp (C)\n2026-03-02 09:00,20\n2026-03-02T09:10:00Z,20\n',
      /is with offset, and the rows above are without offset/,
      3,
    ],
    ['time,temp (C)\n2026-03-02 09:00,68 °F\n', /"68 °F" is not in °C/, 2],
    ['time,temperature\n2026-03-02 09:00,20\n', /column 2, "temperature" has no unit/, 2],
    ['time,temp (C)\n2026-03-02 09:00,20\n', /is in °C, not in °F/, 2, { unit: '°F' }],
    ['time,a (°C),b (°C)\n2026-03-02 09:00,20,21\n', /several columns.*"a \(°C\)", "b \(°C\)"/, 1],
    ['time,temp (C)\n2026-03-02 09:00,20\n', /no column "inside"/, 1, { column: 'inside' }],
    ['time,temp (C)\n2026-03-02 09:00\n', /line 2 has 1 of at least 2 columns/, 2],
    ['time,temp (C)\n2026-03-02 09:00,17,5\n', /line 2 has more than the 2 columns/, 2],
    ['2026-03-02 09:00,17,5\n', /several columns/, 1, { unit: '°C' }],
    ['time,temp (C)\n"2026-03-02 09:00,20\n', /line 2 cannot be taken apart/, 2],
    ['time,temp (C)\n2026-03-02 09:00,-300\n', /below absolute zero/, 2],
    ['time,temp (C)\n2026-03-02 09:00,4000\n', /no temperature of a shop/, 2],
    ['time,temp (C)\n2026-03-02 09:00,2e1\n', /is no temperature/, 2],
    ['time,temp (C)\n2026-03-02 09:00,20.1234567891\n', /is no temperature/, 2],
    ['hello\nworld\n', /no column of times/, 1],
    ['', /no column of times/, 1],
    ['time,temp (C)\n', /has no row/, 1],
  ])('%j', (text, what, line, words) => {
    const found = fault(text, words);
    expect(found.what).toMatch(what);
    expect(found.where).toBe(`log.csv:${line}`);
  });

  it('quotes only a short piece of the file, with control characters made visible', () => {
    const found = fault(`time,temp (C)\n2026-03-02 09:00,\u001b[31m${'x'.repeat(500)}\n`);
    expect(found.what.length).toBeLessThan(200);
    expect(escapeText(found.what)).not.toContain('\u001b');
    const log = taken('time,temp (C),\u001b[31mred\n2026-03-02 09:00,20,1\n');
    expect(log.said.join()).not.toContain('\u001b');
  });

  it('refuses more rows than a year of half minutes', () => {
    const many = `epoch,temp (C)\n${'1772442000,20\n'.repeat(1_000_001)}`;
    expect(fault(many).what).toContain('more than 1000000 rows');
  });
});

describe('a column of minima', () => {
  const three = [
    'time,temp (C),min temp (C),max temp (C)',
    '2026-03-02 09:00,20.5,18,21',
    '2026-03-02 09:10,19.25,,20',
  ];
  const lows = ({ lowest, scale }: Log): readonly string[] =>
    Array.from(lowest ?? [], (low) => (Number.isNaN(low) ? '' : degreesOf(low, scale).toString()));

  it('is found by its heading, and a row may be without one', () => {
    const log = taken(three.join('\n'));
    expect(rows(log)).toEqual(two);
    expect(lows(log)).toEqual(['18', '']);
    expect(log.read).toMatchObject({ column: '2', minimum: '3' });
    expect(log.said).toContain('lowest since the row before from column 3, "min temp (C)"');
    expect(rowsIn(rowsText(log))).toEqual({ ms: log.ms, ticks: log.ticks, lowest: log.lowest, scale: log.scale });
  });

  it('may be named where its heading does not say so', () => {
    const text = three.join('\n').replace('min temp (C),max temp (C)', 'low,high');
    expect(lows(taken(text, { minimum: 'low' }))).toEqual(['18', '']);
    expect(lows(taken(text, { minimum: '3' }))).toEqual(['18', '']);
    expect(taken(text)).not.toHaveProperty('lowest');
    expect(fault(text, { minimum: 'coldest' }).what).toContain('"coldest" for the lowest');
  });

  it('is refused where it is above the temperature of its row', () => {
    expect(fault(three.join('\n').replace(',18,', ',20.6,'))).toMatchObject({
      what: 'line 2, column 3, "min temp (C)": "20.6" is above the temperature of the row, 20.5',
    });
    expect(fault(three.join('\n').replace(',18,', ',cold,')).what).toContain('column 3');
  });

  it('counts the colder of two minima of one row', () => {
    const text = [...three, '2026-03-02 09:00,20.5,17,21'].join('\n');
    expect(lows(taken(text))).toEqual(['17', '']);
  });
});

describe('laws of reading a log', () => {
  const row = fc.record({ minute: fc.integer({ min: 0, max: 5000 }), tenths: fc.integer({ min: -400, max: 600 }) });
  const degrees = (tenths: number): string => (tenths / 10).toFixed(1);
  const at = (minute: number): string => new Date(Date.UTC(2026, 2, 2) + minute * 60_000).toISOString();

  it('does not depend on the order of rows, the separator or other columns', () => {
    fc.assert(
      fc.property(
        fc.array(row, { minLength: 1, maxLength: 40 }),
        fc.constantFrom(',', ';', '\t'),
        (list, separator) => {
          const text = (of: typeof list, between: string): string =>
            `time${between}note${between}temp (C)\n${of.map(({ minute, tenths }) => [at(minute), '"a ""b"" x"', degrees(tenths)].join(between)).join('\n')}`;
          const one = taken(text(list, ','));
          const other = taken(text(list.toReversed(), separator));
          expect([...other.ms]).toEqual([...one.ms]);
          expect([...other.ticks]).toEqual([...one.ticks]);
          expect(new Set(rows(one)).size).toBe(one.ms.length);
          expect(rowsIn(rowsText(one))).toEqual({ ms: one.ms, ticks: one.ticks, scale: one.scale });
        },
      ),
    );
  });

  it('reads or refuses any text in one line, and never throws', () => {
    const cell = fc.oneof(
      fc.string({ maxLength: 12 }),
      fc.constantFrom('time', 'temp (C)', '2026-03-02 09:00', '20', '"', ';', ','),
    );
    fc.assert(
      fc.property(fc.array(fc.array(cell, { maxLength: 5 }), { maxLength: 8 }), (table) => {
        const log = readLog(bytes(table.map((cells) => cells.join(',')).join('\n')), 'log.csv');
        if (!log.ok) expect(escapeText(log.fault.what)).not.toMatch(/[\n\r]/);
      }),
      { numRuns: 500 },
    );
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (raw) => {
        readLog(raw, 'log.csv');
      }),
      { numRuns: 500 },
    );
  });
});
