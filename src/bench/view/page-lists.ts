import { msOf } from '../../job/cure.ts';
import { spanWords, spokenTime } from '../drawing/clock.ts';
import { blank, mark, paragraphRows, row, span, type Row } from '../drawing/rows.ts';
import { jobById } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { menuItems } from '../session/menu.ts';
import type { MenuGroup, Pages, Session } from '../session/state.ts';
import { isInterrupted } from '../../job/where.ts';
import { lastSteps } from '../session/open-job.ts';
import { backHint, digits, hint, title, type Canvas, type PageContent } from './page.ts';
import { answerRows } from './answer.ts';

export const backView = (session: Session, page: Pages['back'], facts: BenchFacts, canvas: Canvas): PageContent => {
  const job = jobById(facts, page.job);
  if (!job) return { text: [], work: [], said: [], hints: [backHint] };
  const last = job.log.at(-1);
  const away = last ? facts.now.ms - msOf(last.at) : 0;
  const long = away > 10 * 60_000;
  return {
    text: [
      ...title(isInterrupted(job) ? 'Coming back after an interruption' : 'Coming back', canvas.width),
      ...paragraphRows(
        last
          ? `Last entry ${spokenTime(msOf(last.at), facts.now.ms, facts.now.offset)}, ${spanWords(away)} ago. All that was taken is kept.`
          : '',
        canvas.width,
      ),
      ...paragraphRows(
        long ? 'Look again at the last three steps, with your hands on the work.' : 'Look again at the last steps.',
        canvas.width,
        'strong',
      ),
    ],
    list: {
      items: lastSteps(job).map((step) => {
        const ticked = page.ticked.includes(step.step);
        return {
          row: [mark(ticked ? `${canvas.marks.within} ` : '  ', 'order'), span(step.title)],
          aside: ticked ? 'looked at again' : 'not yet',
        };
      }),
    },
    work: [],
    said: answerRows(session.answer, canvas.marks, canvas.width, facts.now),
    hints: [hint(digits(lastSteps(job).length), 'looked at again'), hint('enter', 'go on'), backHint],
  };
};

const menuTitles: Readonly<Record<MenuGroup, string>> = {
  all: 'Everything else',
  value: 'Values',
  correct: 'Correct a value',
  said: 'Correct what else was said',
  again: 'Take a value again',
  work: 'Work',
  loose: 'Loose items',
  stock: 'Tools and materials',
  people: 'People',
  screen: 'Screen',
  refused: '',
};

export const menuView = (_session: Session, page: Pages['menu'], facts: BenchFacts): PageContent => {
  const items = menuItems(facts, page.group, jobById(facts, page.job));
  return {
    text: [
      [mark(menuTitles[page.group], 'strong')],
      ...(items.length === 0 ? [blank, [mark('nothing yet', 'quiet')] as Row] : []),
    ],
    list: {
      items: items.map(({ label, aside }) => ({ row: row(label), ...(aside ? { aside } : {}) })),
      selected: page.selected,
    },
    work: [],
    said: [],
    hints: [hint('enter', 'open'), hint('1 to 9', 'open'), backHint],
  };
};
