import type { Stamp } from '../job/stamp.ts';
import type { RecordStamp } from './shapes.ts';

type Optional<T> = { [Key in keyof T]: undefined extends T[Key] ? Key : never }[keyof T];

/** `T` with every key that may be undefined made one that may be absent. */
export type Present<T> = { readonly [Key in Exclude<keyof T, Optional<T>>]: T[Key] } & {
  readonly [Key in Optional<T>]?: Exclude<T[Key], undefined>;
};

/** The object without the keys that are undefined: JSON has no `undefined`. */
export const present = <T extends object>(object: T): Present<T> =>
  Object.fromEntries(Object.entries(object).filter(([, value]) => value !== undefined)) as Present<T>;

/** `T` with every key named, one that may be absent as `undefined`; a stamp's own keys are as `recordStampOf` gives them. */
type EveryKey<T> = Pick<T, Extract<keyof T, keyof RecordStamp>> & {
  readonly [Key in Exclude<keyof T, keyof RecordStamp>]-?: object extends Pick<T, Key> ? T[Key] | undefined : T[Key];
};

/** The same for a `T` of which no key may be forgotten, those that may be absent included. */
export const presentOf = <T extends object>(every: EveryKey<T>): T => present(every) as unknown as T;

/** The list, or nothing where it is empty. */
export const unlessEmpty = <T>(list: readonly T[]): readonly T[] | undefined => (list.length > 0 ? list : undefined);

/** `true`, or nothing. */
export const ifSo = (condition: boolean): true | undefined => (condition ? true : undefined);

/** Who entered it and when; also when it happened, where that is another time. */
export const recordStampOf = (stamp: Stamp): RecordStamp => ({
  entry: stamp.entry,
  by: stamp.by,
  at: stamp.at,
  ...(stamp.when === stamp.at ? {} : { when: stamp.when }),
});

export const unique = (texts: readonly string[]): readonly string[] => [...new Set(texts)];
