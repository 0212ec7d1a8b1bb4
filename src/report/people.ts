import type { RecordDocument } from '../record/document.ts';
import type { RecordStamp } from '../record/shapes.ts';

/** How a sheet names a person: by name, with the id too where two have the same name, and by id where no name is known. */
export type Naming = (person: string) => string;

export const namingOf = ({ people }: RecordDocument): Naming => {
  const names = new Map(people.map(({ person, name }) => [person, name]));
  return (person) => {
    const name = names.get(person);
    if (name === undefined) return person;
    return people.filter((one) => one.name === name).length > 1 ? `${name} (${person})` : name;
  };
};

/** `2026-03-02 09:00 +01:00`: as entered, with the offset of the person's own clock; seconds only where they are not zero. */
export const instantText = (instant: string): string =>
  instant.replace(
    /^(\S{10})T(\d\d:\d\d)(:\S+?)(Z|[+-]\d\d:\d\d)$/,
    (_, day: string, time: string, rest: string, zone: string) =>
      `${day} ${time}${/^:00(\.0+)?$/.test(rest) ? '' : rest} ${zone === 'Z' ? 'UTC' : zone}`,
  );

/** When it was entered, and when it happened where that is another time. */
export const timeText = ({ at, when }: Pick<RecordStamp, 'at' | 'when'>): string =>
  when === undefined ? instantText(at) : `${instantText(when)}, entered ${instantText(at)}`;

/** Who and when, in one line. */
export const stampText = (stamp: RecordStamp, naming: Naming): string => `${naming(stamp.by)}, ${timeText(stamp)}`;
