import type { Draft } from 'immer';
import { textOf, wholeOf, type Entry } from '../entry.ts';
import type { LooseItem, LotNamed, ShopEntry } from '../state.ts';
import { perform, stampOf, touch, type JobDraft } from './draft.ts';

const optional = (entry: Entry, names: Readonly<Record<string, string>>): Record<string, string> =>
  Object.fromEntries(
    Object.entries(names).flatMap(([key, name]) => {
      const text = textOf(entry.data, key);
      return text === undefined ? [] : [[name, text]];
    }),
  );

const required = (entry: Entry, key: string): string => textOf(entry.data, key) ?? '';

export const evolveLot = (draft: JobDraft, entry: Entry): void => {
  const lot: LotNamed = {
    ...stampOf(entry),
    material: required(entry, 'material'),
    number: required(entry, 'number'),
    ...optional(entry, { part: 'part', made: 'made', 'use-by': 'useBy' }),
  };
  draft.lots.push(lot as Draft<LotNamed>);
};

export const evolveUse = (draft: JobDraft, entry: Entry): void => {
  draft.tools = { ...draft.tools, [required(entry, 'kind')]: required(entry, 'tool') };
};

export const evolveShop = (draft: JobDraft, entry: Entry): void => {
  const shop: ShopEntry = {
    ...stampOf(entry),
    ...optional(entry, { temperature: 'temperature', surface: 'surface', humidity: 'humidity' }),
  };
  draft.shop.push(shop as Draft<ShopEntry>);
};

export const evolvePhoto = (draft: JobDraft, entry: Entry, step: string | undefined): void => {
  draft.photos.push({
    ...stampOf(entry),
    photo: required(entry, 'photo'),
    sha256: required(entry, 'file-sha256'),
    file: required(entry, 'file'),
    ...(step === undefined ? {} : { step }),
  });
  if (step === undefined) return;
  perform(draft, step, entry);
  touch(draft, step, entry);
};

export const evolveLoose = (draft: JobDraft, entry: Entry): void => {
  const item: LooseItem = {
    ...stampOf(entry),
    tag: required(entry, 'tag'),
    item: required(entry, 'item'),
    count: wholeOf(entry.data, 'count') ?? 1,
    left: required(entry, 'left'),
    because: required(entry, 'because'),
    before: required(entry, 'before'),
    closings: [],
    skipped: false,
    ...optional(entry, { step: 'step' }),
  };
  draft.loose.push(item as Draft<LooseItem>);
};

/** The closing is kept by the job that did it, and by the job whose item it was. */
export const evolveClose = (draft: JobDraft, entry: Entry): void => {
  const count = wholeOf(entry.data, 'count') ?? 0;
  const tag = required(entry, 'tag');
  if (entry.job === draft.id)
    draft.closings.push({
      ...stampOf(entry),
      tag,
      item: required(entry, 'item'),
      count,
      left: wholeOf(entry.data, 'left') ?? 0,
    });
  const item = draft.loose.find((one) => one.tag === tag);
  if (item) item.closings.push({ ...stampOf(entry), count });
};

export const evolveSaid = (draft: JobDraft, entry: Entry, step: string | undefined): void => {
  draft.remarks.push({
    ...stampOf(entry),
    text: required(entry, 'text'),
    ...optional(entry, { from: 'from' }),
    ...(step === undefined ? {} : { step }),
  });
};
