/** What may be open before a gate, in the order of a gate sheet. */
export const gateItemKinds = [
  'not-begun',
  'unfinished',
  'hold',
  'photo',
  'sample',
  'finding',
  'nonconformance',
  'bulletin',
  'loose',
  'skipped',
  'tool',
] as const;

export type GateItemKind = (typeof gateItemKinds)[number];

/** One thing that a gate wants settled. */
export type GateItem = {
  readonly kind: GateItemKind;
  /** In words, for a person. */
  readonly what: string;
  readonly job?: string;
  /** The same for as long as it stays open; another once it was settled and has opened again. */
  readonly key: string;
};

/** An item that a departure `gate-open` excepts by name. */
export type ExceptedItem = GateItem & { readonly because: string; readonly by: string };

/** What is open before a gate, and what is excepted, at one instant. */
export type GateSheet = {
  readonly gate: string;
  readonly open: readonly GateItem[];
  readonly excepted: readonly ExceptedItem[];
};

const labels: Readonly<Record<GateItemKind, string>> = {
  'not-begun': 'not begun',
  unfinished: 'unfinished',
  hold: 'hold point',
  photo: 'photo',
  sample: 'sample',
  finding: 'finding',
  nonconformance: 'nonconformance',
  bulletin: 'bulletin',
  loose: 'loose item',
  skipped: 'skipped step',
  tool: 'tool',
};

/** One item of a gate sheet in words, with the job that it belongs to. */
export const gateItemWords = ({ kind, what, job }: Pick<GateItem, 'kind' | 'what' | 'job'>): string =>
  `${labels[kind]}: ${what}${job === undefined ? '' : ` (${job})`}`;

/** One exception in words, with its reason and who made it. */
export const exceptionWords = (item: Omit<ExceptedItem, 'key'>): string =>
  `${gateItemWords(item)}; because ${item.because} (${item.by})`;

/** An item as `dryfit gate --json` and records give it, without the key by which dryfit knows it again. */
export const withoutKey = <Item extends GateItem>({ key: _key, ...item }: Item): Omit<Item, 'key'> => item;
