import { keyTable, ownKeys } from '../keys.ts';
import { blank, paragraph, row, type Row } from '../parts/rows.ts';
import type { World } from '../ports.ts';
import { refusedItems } from '../session/pages.ts';
import type { Page, Session } from '../session/state.ts';
import { jobOf } from '../session/walk.ts';
import { cautions } from './cautions.ts';
import { lookText } from './look.ts';
import { backHint, digits, hint, labelled, menuHint, title, type Canvas, type Middle } from './page.ts';
import { firstView, formView, passphraseView } from './page-forms.ts';
import { backView, jobsView, menuView, proceduresView, startView } from './page-lists.ts';
import { faultRows } from './told.ts';

type Of<P extends Page['page']> = Extract<Page, { page: P }>;

const refusedView = (page: Of<'refused'>, world: World, canvas: Canvas): Middle => {
  const items = refusedItems(world, page);
  const refused = page.fault.kind === 'refused';
  return {
    text: [
      ...title(refused ? 'Not yet: refused' : 'That did not work', canvas.width),
      ...faultRows(page.fault, canvas.marks, canvas.width, world.now),
      ...(page.fault.where === undefined ? [] : paragraph(page.fault.where, canvas.width, 'quiet')),
      blank,
      ...paragraph(`nothing was entered (${page.fault.code})`, canvas.width, 'quiet'),
    ],
    ...(items.length > 0
      ? { list: { items: items.map(({ label, aside }) => ({ row: row(label), ...(aside ? { aside } : {}) })) } }
      : {}),
    work: [],
    said: [],
    hints: items.length > 0 ? [hint(digits(items.length), 'choose'), backHint] : [hint('enter', 'back')],
  };
};

const doneView = (page: Of<'done'>, world: World, canvas: Canvas): Middle => {
  const { width } = canvas;
  const record = page.record;
  return {
    text: [
      ...title('The job is complete.', width),
      ...(record === undefined
        ? paragraph('Its record is written the next time the state is opened.', width)
        : [
            ...labelled('record', record, width),
            ...labelled('to prove it', `dryfit verify ${record}`, width),
            ...labelled('to read it', `${record}/record.html`, width),
          ]),
      ...paragraph('A record says who entered what, and when. It approves nothing.', width, 'quiet'),
    ],
    work: [],
    said: [],
    hints: [hint('enter', 'list of jobs'), menuHint],
  };
};

const keysText = ({ width }: Canvas): readonly Row[] => [
  ...title('Keys', width),
  ...keyTable.flatMap(({ name, does }) => labelled(name, does, width)),
  ...labelled('space', 'everything else, while nothing is typed', width),
  ...labelled('1 to 9', 'chooses from a list', width),
  ...Object.values(ownKeys).flatMap(({ key, does }) => labelled(key, does, width)),
];

const lookView = (page: Of<'look'>, world: World, canvas: Canvas): Middle => ({
  text:
    page.look === 'keys'
      ? keysText(canvas)
      : page.look === 'cautions'
        ? cautions(canvas.width)
        : lookText(page.look, world, jobOf(world, page.job), canvas),
  work: [],
  said: [],
  hints: [hint('enter', 'back')],
});

/** What a page says that is not a job being walked. */
export const pageView = (session: Session, page: Exclude<Page, Of<'walk'>>, world: World, canvas: Canvas): Middle => {
  switch (page.page) {
    case 'first':
      return firstView(session, page, world, canvas);
    case 'cautions':
      return { text: cautions(canvas.width), work: [], said: [], hints: [hint('enter', 'I have read it')] };
    case 'jobs':
      return jobsView(session, page, world, canvas);
    case 'procedures':
      return proceduresView(page, world, canvas);
    case 'start':
      return startView(page, world, canvas);
    case 'back':
      return backView(session, page, world, canvas);
    case 'form':
      return formView(session, page, world, canvas);
    case 'menu':
      return menuView(page, world);
    case 'look':
      return lookView(page, world, canvas);
    case 'passphrase':
      return passphraseView(session, page, world, canvas);
    case 'refused':
      return refusedView(page, world, canvas);
    case 'done':
      return doneView(page, world, canvas);
  }
};
