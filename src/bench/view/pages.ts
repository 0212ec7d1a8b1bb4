import { blank, paragraphRows, row } from '../drawing/rows.ts';
import { jobById } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { refusedItems } from '../session/press-menu.ts';
import type { Page, Pages, Session } from '../session/state.ts';
import { calculatorsView, calculatorView } from './calculator.ts';
import { cautions } from './cautions.ts';
import { keysText } from './help.ts';
import { infoText } from './info.ts';
import { backHint, digits, hint, labelled, menuHint, title, type Canvas, type PageContent } from './page.ts';
import { firstView, formView, passphraseView } from './page-forms.ts';
import { jobsView } from './page-jobs.ts';
import { backView, menuView } from './page-lists.ts';
import { proceduresView, startView } from './page-start.ts';
import { faultRows } from './answer.ts';

type Of<P extends Page['page']> = Pages[P];

const refusedView = (_session: Session, page: Of<'refused'>, facts: BenchFacts, canvas: Canvas): PageContent => {
  const items = refusedItems(facts, page);
  const refused = page.fault.kind === 'refused';
  return {
    text: [
      ...title(refused ? 'Not yet: refused' : 'That did not work', canvas.width),
      ...faultRows(page.fault, canvas.marks, canvas.width, facts.now),
      ...(page.fault.where === undefined ? [] : paragraphRows(page.fault.where, canvas.width, 'quiet')),
      blank,
      ...paragraphRows(`nothing was entered (${page.fault.code})`, canvas.width, 'quiet'),
    ],
    ...(items.length > 0
      ? { list: { items: items.map(({ label, aside }) => ({ row: row(label), ...(aside ? { aside } : {}) })) } }
      : {}),
    work: [],
    said: [],
    hints: items.length > 0 ? [hint(digits(items.length), 'choose'), backHint] : [hint('enter', 'back')],
  };
};

const doneView = (_session: Session, page: Of<'done'>, facts: BenchFacts, canvas: Canvas): PageContent => {
  const { width } = canvas;
  const record = page.record;
  return {
    text: [
      ...title('The job is complete.', width),
      ...(record === undefined
        ? paragraphRows('Its record is written the next time the state is opened.', width)
        : [
            ...labelled('record', record, width),
            ...labelled('to prove it', `dryfit verify ${record}`, width),
            ...labelled('to read it', `${record}/record.html`, width),
          ]),
      ...paragraphRows('A record says who entered what, and when. It approves nothing.', width, 'quiet'),
    ],
    work: [],
    said: [],
    hints: [hint('enter', 'list of jobs'), menuHint],
  };
};

const infoView = (_session: Session, page: Of<'info'>, facts: BenchFacts, canvas: Canvas): PageContent => ({
  text:
    page.info === 'keys'
      ? keysText(canvas)
      : page.info === 'cautions'
        ? cautions(canvas.width)
        : infoText(page.info, facts, jobById(facts, page.job), canvas),
  work: [],
  said: [],
  hints: [hint('enter', 'back')],
});

const cautionsView = (_session: Session, _page: Of<'cautions'>, _world: BenchFacts, canvas: Canvas): PageContent => ({
  text: cautions(canvas.width),
  work: [],
  said: [],
  hints: [hint('enter', 'I have read it')],
});

type Shown = Exclude<Page, Of<'walk' | 'help'>>;

const views: {
  readonly [P in Shown['page']]: (session: Session, page: Of<P>, facts: BenchFacts, canvas: Canvas) => PageContent;
} = {
  first: firstView,
  cautions: cautionsView,
  jobs: jobsView,
  procedures: proceduresView,
  start: startView,
  back: backView,
  form: formView,
  menu: menuView,
  calculators: calculatorsView,
  calculator: calculatorView,
  info: infoView,
  passphrase: passphraseView,
  refused: refusedView,
  done: doneView,
};

/** The view of any page but that of a job and that of its keys. */
export const pageView = <P extends Shown['page']>(
  session: Session,
  page: Of<P>,
  facts: BenchFacts,
  canvas: Canvas,
): PageContent => {
  const view: (typeof views)[P] = views[page.page as P];
  return view(session, page, facts, canvas);
};
