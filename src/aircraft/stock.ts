import type { LotNow } from '../job/surroundings.ts';
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
    ...(line.quarantine === undefined ? {} : { quarantine: line.quarantine }),
  };
};

/** The name of a stock line for a person: `adhesive L-204`, `A1-27-114 SN 7`. */
export const stockName = (line: StockLine): string =>
  [line.material ?? line.part, line.number, line.serial && `SN ${line.serial}`]
    .filter((part) => part !== undefined && part !== '')
    .join(' ');
