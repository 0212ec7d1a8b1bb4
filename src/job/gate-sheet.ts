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
