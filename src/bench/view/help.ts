import { keyTable, separateKeys } from '../keys.ts';
import type { Row } from '../drawing/rows.ts';
import { hint, labelled, title, type Canvas, type Hint, type PageContent } from './page.ts';

/** Every key of the bench. */
export const keysText = ({ width }: Canvas): readonly Row[] => [
  ...title('Keys', width),
  ...keyTable.flatMap(({ name, does }) => labelled(name, does, width)),
  ...labelled('space', 'the menu, while nothing is typed', width),
  ...labelled('?', 'the keys of the screen, while nothing is typed', width),
  ...labelled('1 to 9', 'chooses from a list', width),
  ...Object.values(separateKeys).flatMap(({ key, does }) => labelled(key, does, width)),
];

/** The keys that its key line may have no room for. */
const always: readonly Hint[] = [
  hint('up, down', 'moves, or scrolls the text'),
  hint('page-down', 'the next page of a long text'),
  hint('ctrl-u', 'clears what is typed'),
  hint('ctrl-c', 'leaves dryfit; everything saved is kept'),
];

/** What the keys do on the page beneath, all of them, and what it shows. */
export const helpContent = (beneath: PageContent, { width }: Canvas): PageContent => ({
  text: [
    ...title('The keys of this screen', width),
    ...beneath.hints.flatMap(({ key, does }) => labelled(key, does, width)),
    ...always.flatMap(({ key, does }) => labelled(key, does, width)),
  ],
  work: [],
  said: [],
  hints: [hint('enter', 'back')],
});
