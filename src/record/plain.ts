import type { Stamp } from '../job/state.ts';
import type { RecordStamp } from './document.ts';

type Optional<T> = { [Key in keyof T]: undefined extends T[Key] ? Key : never }[keyof T];

/** `T` with every key that may be undefined made one that may be absent. */
export type Present<T> = { readonly [Key in Exclude<keyof T, Optional<T>>]: T[Key] } & {
  readonly [Key in Optional<T>]?: Exclude<T[Key], undefined>;
};

/** Only what is there: JSON has no `undefined`. */
export const present = <T extends object>(object: T): Present<T> =>
  Object.fromEntries(Object.entries(object).filter(([, value]) => value !== undefined)) as Present<T>;

/** The list, or nothing where it is empty. */
export const unlessEmpty = <T>(list: readonly T[]): readonly T[] | undefined => (list.length > 0 ? list : undefined);

/** `true`, or nothing. */
export const ifSo = (condition: boolean): true | undefined => (condition ? true : undefined);

/** Entered and happened: both where they differ, never one for the other. */
export const recordStampOf = (stamp: Stamp): RecordStamp => ({
  entry: stamp.entry,
  by: stamp.by,
  at: stamp.at,
  ...(stamp.when === stamp.at ? {} : { when: stamp.when }),
});

export const unique = (texts: readonly string[]): readonly string[] => [...new Set(texts)];
