import { isMap, isSeq, parseDocument, type Document, type YAMLMap } from 'yaml';
import { goodUntil, stockName } from '../aircraft/stock.ts';
import { readBuildFile, type Extension } from '../aircraft/file.ts';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { stateFiles } from '../store/layout.ts';
import { attachment, keepFiles } from './attached-files.ts';
import { takeInBuild } from './take-in.ts';
import { readDraftText, writeDraft } from './draft-file.ts';
import type { SignerOf } from './keys/signers.ts';
import type { Workshop } from './workshop.ts';

/** Names a line of the stock: a lot of a material by its number, or a part. */
export interface StockKey {
  readonly what: string;
  readonly number?: string;
  readonly serial?: string;
}

type Line = YAMLMap;

const textAt = (line: Line, key: string): string | undefined => {
  const value = line.get(key);
  return typeof value === 'string' ? value : undefined;
};

const isLine =
  ({ what, number, serial }: StockKey) =>
  (line: unknown): line is Line =>
    isMap(line) &&
    (textAt(line, 'material') ?? textAt(line, 'part')) === what &&
    (number === undefined || textAt(line, 'number') === number) &&
    (serial === undefined || textAt(line, 'serial') === serial);

const linesOf = (document: Document): readonly unknown[] => {
  const stock = document.get('stock', true);
  return isSeq(stock) ? stock.items : [];
};

/** Changes build.yaml and takes it in at once, signed by `by`. The rest of the file stays as it was written, with its comments. */
const edit = (
  workshop: Workshop,
  by: string,
  signerOf: SignerOf,
  change: (document: Document) => Outcome<void>,
): Outcome<readonly string[]> => {
  const closed = workshop.closed();
  if (closed) return err(closed);
  const text = readDraftText(workshop.place);
  if (!text.ok) return text;
  const before = readBuildFile(text.value, stateFiles.draft);
  if (before.faults[0]) return err(before.faults[0]);
  const document = parseDocument(text.value, { schema: 'failsafe', uniqueKeys: false });
  const changed = change(document);
  if (!changed.ok) return changed;
  const next = document.toString({ lineWidth: 0 });
  const after = readBuildFile(next, stateFiles.draft);
  const [fault] = after.faults;
  // The fault's place is left out: it would be a line of a text that was never written.
  if (fault) return err(usage(fault.code, fault.what, fault.todo));
  const written = writeDraft(workshop.place, next);
  return written.ok ? takeInBuild(workshop.openState, by, signerOf) : written;
};

/** Adds an item to a list of the file. */
const addLine = (document: Document, list: 'stock' | 'tools', line: Readonly<Record<string, string>>): void => {
  const items = document.get(list, true);
  const node = document.createNode(line, { flow: true });
  if (isSeq(items)) {
    // One line of the file for each item: with `stock: []` all of them would be on one long line.
    items.flow = false;
    items.add(node);
  } else document.set(list, document.createNode([node]));
};

const onLine =
  (key: StockKey, change: (line: Line) => void) =>
  (document: Document): Outcome<void> => {
    const lines = linesOf(document).filter(isLine(key));
    const [line, ...others] = lines;
    const called = stockName({ part: key.what, ...key, extended: [] });
    if (!line) return err(usage('unknown-id', `the stock has no ${called}`, 'see: dryfit stock'));
    if (others.length > 0)
      return err(usage('stock-several', `the stock has several ${called}`, 'name its number or serial number too'));
    change(line);
    return ok(undefined);
  };

/** Adds a material by lot, or a part, to the stock. Taking in the same lot twice is a usage fault. */
export const takeIn = (
  workshop: Workshop,
  line: Readonly<Record<string, string>>,
  by: string,
  signerOf: SignerOf,
): Outcome<readonly string[]> =>
  edit(workshop, by, signerOf, (document) => {
    const { number, serial } = line;
    const what = line['material'] ?? line['part'] ?? '';
    const twice =
      number !== undefined &&
      linesOf(document).some(
        (one) => isLine({ what, number })(one) && (serial === undefined || textAt(one, 'serial') === serial),
      );
    if (twice) return err(usage('duplicate-id', `the stock has ${what} ${number} already`, 'see: dryfit stock'));
    addLine(document, 'stock', line);
    return ok(undefined);
  });

/** Adds an individual tool to the build, such as `{ tool: TW-3, kind: torque-wrench, in-date-until: 2027-03-04 }`. Code `duplicate-id`. */
export const takeInTool = (
  workshop: Workshop,
  line: Readonly<Record<string, string>>,
  by: string,
  signerOf: SignerOf,
): Outcome<readonly string[]> =>
  edit(workshop, by, signerOf, (document) => {
    const { tool = '' } = line;
    if (workshop.state().file.tools.some((one) => one.tool === tool))
      return err(usage('duplicate-id', `the build has a tool ${tool} already`, 'see: dryfit tool'));
    addLine(document, 'tools', line);
    return ok(undefined);
  });

/** Sets keys of one line, and removes those that are `undefined`. */
export const setLine = (
  workshop: Workshop,
  key: StockKey,
  values: Readonly<Record<string, string | undefined>>,
  by: string,
  signerOf: SignerOf,
): Outcome<readonly string[]> =>
  edit(
    workshop,
    by,
    signerOf,
    onLine(key, (line) => {
      for (const [name, value] of Object.entries(values))
        if (value === undefined) line.delete(name);
        else line.set(name, value);
    }),
  );

/** An extension gives a later day. A wrong day is put right where it was written. */
const earlierThanKnown = (workshop: Workshop, { what, number }: StockKey, to: string): Fault | undefined => {
  const line = workshop
    .state()
    .file.stock.findLast((one) => one.material === what && (number === undefined || one.number === number));
  const until = line && (line.extended.at(-1)?.to ?? line['use-by'] ?? goodUntil(line));
  return until !== undefined && to <= until
    ? usage(
        'not-later',
        `${what} ${line?.number ?? ''} is good until ${until}; ${to} does not extend that`,
        'give a later day; to put a wrong use-by right, edit it in build.yaml (stock)',
      )
    : undefined;
};

/** Extends the use-by date of a lot. The evidence file is kept among the attachments, under its hash, before the line names it. */
export const extendLot = (
  workshop: Workshop,
  key: StockKey,
  extension: Extension,
  evidence: string,
  by: string,
  signerOf: SignerOf,
): Outcome<readonly string[]> => {
  const earlier = earlierThanKnown(workshop, key, extension.to);
  if (earlier) return err(earlier);
  const file = attachment(workshop.openState, evidence);
  if (!file.ok) return file;
  const kept = keepFiles(workshop.openState, [file.value.kept]);
  if (!kept.ok) return kept;
  const line = { ...extension, evidence: `${file.value.sha256}.${file.value.kept.extension}` };
  return edit(workshop, by, signerOf, (document) =>
    onLine(key, (one) => {
      const before = one.get('extended', true);
      if (isSeq(before)) before.add(document.createNode(line));
      else one.set('extended', document.createNode([line]));
    })(document),
  );
};
