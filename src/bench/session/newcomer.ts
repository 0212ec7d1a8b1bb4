/** A name as a person's id: `Ines Varrow` becomes `ines-varrow`. Empty where no character of it can be written in `[a-z0-9-]`. */
export const idFrom = (name: string): string =>
  name
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');

/** The name of a passphrase that a newcomer chooses, among the secrets of an act; no person's id has a space in it. */
export const newcomerSecret = (question: string): string => `new ${question}`;
