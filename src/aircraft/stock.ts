import { own } from '../fault/own.ts';
import { msOf } from '../job/cure.ts';
import { happened, type Entry } from '../job/entry.ts';
import type { LotNow, PartNow, Quarantine } from '../job/surroundings.ts';
import { addMonths, endOfDay, parseDay, parseSpan, printInstant } from '../quantity/time.ts';
import { leftOf } from './draws.ts';
import type { BuildFile, StockLine } from './file.ts';
import type { BuildState } from './state.ts';

/** The last good day of an opened tin. Counted in calendar days, so that no time zone matters. */
const openedUntil = (line: StockLine): string | undefined => {
  const [opened, keeps] = [line.opened && parseDay(line.opened), line['once-opened'] && parseSpan(line['once-opened'])];
  if (!opened || !keeps || !opened.ok || !keeps.ok) return undefined;
  return printInstant(addMonths(endOfDay(opened.value, 0), 0, keeps.value.months) + keeps.value.ms, 0).slice(0, 10);
};

/** The last day on which a lot is good: its latest extension, else its use-by date; never later than it keeps once opened. */
export const goodUntil = (line: StockLine): string | undefined => {
  const days = [line.extended.at(-1)?.to ?? line['use-by'], openedUntil(line)].flatMap((day) => day ?? []);
  return days.toSorted()[0];
};

export const stockLineOf = (file: BuildFile, material: string, number: string): StockLine | undefined =>
  file.stock.findLast((line) => line.material === material && line.number === number);

/** Names a line of the stock, through every version of build.yaml. */
const lineKey = ({ material, part, number, serial }: StockLine): string =>
  [material ?? '', part ?? '', number ?? '', serial ?? ''].join('\n');

/** A line that is in quarantine, since the entry that put it there or gave it another reason. */
const quarantineOf = (state: BuildState, line: StockLine): { readonly quarantine?: Quarantine } => {
  const since = line.quarantine === undefined ? undefined : own(state.quarantines, lineKey(line));
  return since === undefined ? {} : { quarantine: since };
};

/** The quarantines after another build.yaml is in force. A quarantine with the same reason goes on. */
export const quarantinesAfter = (state: BuildState, file: BuildFile, entry: Entry): BuildState['quarantines'] =>
  Object.fromEntries(
    file.stock.flatMap((line) => {
      if (line.quarantine === undefined) return [];
      const key = lineKey(line);
      const before = own(state.quarantines, key);
      const goesOn = before?.because === line.quarantine;
      return [[key, goesOn ? before : { because: line.quarantine, entry: entry.id, ms: msOf(happened(entry)) }]];
    }),
  );

/** What the stock says about a lot; `undefined` where the stock does not list it. */
export const lotIn = (state: BuildState, material: string, number: string): LotNow | undefined => {
  const line = stockLineOf(state.file, material, number);
  if (!line) return undefined;
  const left = leftOf(state, line)?.left;
  const until = goodUntil(line);
  const extended = line.extended.at(-1);
  return {
    ...(left === undefined ? {} : { left }),
    ...(extended === undefined ? {} : { extended }),
    ...(until === undefined ? {} : { goodUntil: until }),
    ...(line['use-by'] === undefined ? {} : { useBy: line['use-by'] }),
    ...(line.made === undefined ? {} : { made: line.made }),
    ...quarantineOf(state, line),
  };
};

/** Parts of this number that the stock lists with a serial number; a part is matched by that, else by its lot. */
export const partIn = (state: BuildState, part: string, serial: string, lot?: string): PartNow | undefined => {
  const lines = state.file.stock.filter((line) => line.part === part);
  const serials = lines.flatMap((line) => line.serial ?? []);
  const line =
    lines.findLast((one) => one.serial === serial) ??
    lines.findLast((one) => one.serial === undefined && lot !== undefined && one.number === lot);
  if (line === undefined && serials.length === 0) return undefined;
  return {
    serials,
    ...(line?.serial === undefined ? {} : { serial: line.serial }),
    ...(line?.number === undefined ? {} : { lot: line.number }),
    ...(line === undefined ? {} : quarantineOf(state, line)),
  };
};

/** The name of a stock line for a person: `adhesive L-204`, `A1-27-114 SN 7`. */
export const stockName = (line: StockLine): string =>
  [line.material ?? line.part, line.number, line.serial && `SN ${line.serial}`]
    .filter((part) => part !== undefined && part !== '')
    .join(' ');
