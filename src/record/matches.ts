import { isJsonObject, type Json } from '../proof/canonical.ts';
import type { RecordDocument } from './document.ts';

/** Where two records first differ, and what each has there; `undefined` for something that is not there. */
export interface Difference {
  /** `steps[dry-fit].readings[gap].entered[2].value`: list items by their own name where they have one, else by number from 1. */
  readonly path: string;
  readonly record: string | undefined;
  readonly journal: string | undefined;
}

const names = ['reading', 'result', 'fastener', 'batch', 'finding', 'photo', 'tag', 'step', 'person', 'tool'];

const nameOf = (item: Json | undefined): string | undefined => {
  if (item === undefined || item === null || !isJsonObject(item)) return undefined;
  const value = names.map((name) => item[name]).find((one) => typeof one === 'string' || typeof one === 'number');
  return value === undefined ? undefined : String(value);
};

const shown = (value: Json | undefined): string | undefined =>
  value === undefined ? undefined : JSON.stringify(value);

const inLists = (path: string, record: readonly Json[], journal: readonly Json[]): Difference | undefined => {
  const length = Math.max(record.length, journal.length);
  for (let index = 0; index < length; index += 1) {
    const [one, other] = [record[index], journal[index]];
    const name = nameOf(one) ?? nameOf(other) ?? String(index + 1);
    const difference = between(`${path}[${name}]`, one, other);
    if (difference) return difference;
  }
  return undefined;
};

const between = (path: string, record: Json | undefined, journal: Json | undefined): Difference | undefined => {
  if (record === journal) return undefined;
  if (Array.isArray(record) && Array.isArray(journal)) return inLists(path, record, journal);
  const both = record !== undefined && journal !== undefined;
  if (both && isJsonObject(record) && isJsonObject(journal)) {
    for (const key of new Set([...Object.keys(record), ...Object.keys(journal)])) {
      const difference = between(path === '' ? key : `${path}.${key}`, record[key], journal[key]);
      if (difference) return difference;
    }
    return undefined;
  }
  return { path, record: shown(record), journal: shown(journal) };
};

/** A record against the one that the journal gives now: the first difference by its path, or nothing where there is none. */
export const recordMatches = (record: RecordDocument, rebuilt: RecordDocument): Difference | undefined =>
  between('', record, rebuilt);
