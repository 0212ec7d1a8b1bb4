import { may, must, type Field, type VerbSpec } from './verb-spec.ts';
import { isVerb, verbs } from './verbs.ts';

type LineSpec = Pick<VerbSpec, 'fields' | 'object' | 'brought' | 'derived'>;

/** Lines that no person sends as a verb: which person has which key, and which build.yaml is in force. */
const bookkeeping = {
  key: {
    fields: [
      must('key', 'document', 'the public key, as an `ssh-ed25519 AAAA…` line'),
      may('person', 'person', 'whose key it is'),
      may('name', 'text', 'their name'),
      may('powers', 'texts', 'the powers that they sign for'),
      may('replaces', 'text', 'fingerprint of the key whose place it takes'),
      may('recovery', 'text', 'fingerprint of the recovery key that signs for it'),
      may('follows', 'person', 'whom the new person says that they are'),
      may('scripted', 'yes', 'in the first line of a build: nothing in it is real'),
      may('signed', 'document', 'the invitation that its person signed elsewhere'),
      may('signed-sig', 'document', 'the signature of that invitation'),
    ],
  },
  recovery: {
    fields: [
      must('key', 'document', 'the public key, as an `ssh-ed25519 AAAA…` line'),
      may('person', 'person', 'whose lost key it will replace'),
    ],
  },
  build: {
    fields: [
      must('sha256', 'text', 'SHA-256 of the build.yaml that is in force from here on'),
      may('pages', 'pages', 'what the procedures folder holds from here on; left out where there is no such folder'),
    ],
  },
} as const satisfies Readonly<Record<string, LineSpec>>;

/** Every type of journal line: the verbs, and the lines about keys and about build.yaml. */
export const lineTypes = { ...verbs, ...bookkeeping };

export type LineType = keyof typeof lineTypes;

export const isLineType = (text: string): text is LineType => Object.hasOwn(lineTypes, text);

/**
 * Marks a line of any type whose time stamp is in doubt, because the system clock was set while dryfit was open. The workshop notices it by
 * a second clock that nobody can set. Nothing is counted from such a stamp.
 */
export const clockDoubt = 'clock-doubt';

/**
 * In the first line of a writer whose machine could not go on with its file of before, because that does not end where the machine
 * remembers: `WRITER:SEQ HASH` of the last line that it wrote there. So every later reader hears that entries may have been cut off.
 */
export const journalDoubt = 'journal-doubt';

const doubt = may(clockDoubt, 'yes', 'the clock had been set while dryfit was open');
const cutOff = may(journalDoubt, 'text', 'the last line of a file that its machine could not continue');
const departures = may('departures', 'texts', 'the departures that overrule what would refuse it');

export interface LineFields {
  /** Fields that a person gives, the bare object first. */
  readonly given: readonly Field[];
  /** Fields that the workshop adds. */
  readonly brought: readonly Field[];
  /** Fields that the engine adds. */
  readonly derived: readonly Field[];
  /** The fields that are decided on: given and brought. */
  readonly asked: readonly Field[];
  readonly all: readonly Field[];
  readonly names: ReadonlySet<string>;
}

const fieldsIn = (type: LineType): LineFields => {
  const { object, fields, brought: own = [], derived: added = [] }: LineSpec = lineTypes[type];
  const given = object ? [object, ...fields] : fields;
  const brought = [...own, doubt, cutOff];
  const derived = isVerb(type) ? [...added, departures] : added;
  const all = [...given, ...brought, ...derived];
  return { given, brought, derived, asked: [...given, ...brought], all, names: new Set(all.map(({ name }) => name)) };
};

const fieldTable = Object.fromEntries(
  (Object.keys(lineTypes) as LineType[]).map((type) => [type, fieldsIn(type)]),
) as Readonly<Record<LineType, LineFields>>;

/** The fields of a type of line, by who adds them. */
export const fieldsOf = (type: LineType): LineFields => fieldTable[type];
