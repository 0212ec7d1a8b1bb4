import { looseStatus, type JobStatus } from '../../build/status.ts';
import { keyTable, ownKeys } from '../keys.ts';
import { spanWords, spokenTime } from '../parts/clock.ts';
import { isEmpty } from '../parts/field.ts';
import { blank, mark, paragraph, row, span, type Row, type Style } from '../parts/rows.ts';
import type { Startable, World } from '../ports.ts';
import { msOf } from '../../job/cure.ts';
import { firstQuestions } from '../session/first.ts';
import { isChoice, questionAt, type Filled, type Question } from '../session/form.ts';
import { jobLines } from '../session/jobs.ts';
import { menuItems } from '../session/menu.ts';
import { refusedItems, sidesOf } from '../session/pages.ts';
import type { MenuGroup, Page, Session } from '../session/state.ts';
import { isInterrupted, jobOf, lastSteps } from '../session/walk.ts';
import { cautions } from './cautions.ts';
import { formSaid, formWork, placedForm, plainWork } from './form.ts';
import { lookText } from './look.ts';
import { personName } from './job.ts';
import { digits, hint, labelled, marked, title, type Canvas, type Hint, type PageView } from './page.ts';
import { answersRow, questionRows } from './question.ts';
import { faultRows, toldRows } from './told.ts';

type Of<P extends Page['page']> = Extract<Page, { page: P }>;
export type Middle = Pick<PageView, 'text' | 'work' | 'said' | 'hints'> &
  Partial<Pick<PageView, 'list' | 'right' | 'left'>>;

const menu = hint('space', 'menu');
const back = hint('esc', 'back');

const questionHints = (question: Question | undefined, filled: Filled): readonly Hint[] => {
  if (question && isChoice(question)) return [hint('enter', 'take it'), hint('1 to 9', 'choose'), back];
  const typed = !isEmpty(filled.field);
  if (question?.kind === 'lines')
    return [hint('enter', typed ? 'add it' : 'no more'), typed ? hint('esc', 'clear') : back];
  if (typed) return [hint('enter', 'take it'), hint('esc', 'clear')];
  return [hint('enter', question?.required === false ? 'leave it out' : 'take it'), back];
};

const saidIn = (filled: Filled, session: Session, world: World, { marks, width }: Canvas): readonly Row[] =>
  filled.fault
    ? faultRows(filled.fault, marks, width, world.now)
    : toldRows(session.told?.kind === 'not' ? session.told : undefined, marks, width, world.now);

const firstView = (session: Session, page: Of<'first'>, world: World, canvas: Canvas): Middle => {
  const form = firstQuestions(page.filled.answers);
  const question = questionAt(form, page.filled);
  return {
    left: [mark('dryfit', 'strong')],
    text: [
      ...title('Who are you?', canvas.width),
      ...paragraph(
        'Everything you enter is signed with a key of yours. It is made now, and kept on this machine, not in the state folder.',
        canvas.width,
      ),
    ],
    work: [
      ...answersRow(form.questions, page.filled, canvas.width),
      ...(question ? questionRows(question, page.filled, canvas) : []),
    ],
    said: saidIn(page.filled, session, world, canvas),
    hints: questionHints(question, page.filled),
  };
};

/** The job under the pointer, in full: what is open in it, and what it waits for. */
const pointedAt = (line: JobStatus | undefined, world: World, width: number): readonly Row[] => {
  const step = line && world.build.jobs[line.id]?.plan.steps.find((one) => one.step === line.step);
  if (!line || line.state === 'complete') return [];
  return [
    ...(step ? labelled('open', step.title, width, 'plain', 11) : []),
    ...(line.waitsFor.length > 0 ? labelled('waits for', line.waitsFor.join('; '), width, 'plain', 11) : []),
  ].slice(0, 3);
};

const jobsView = (session: Session, page: Of<'jobs'>, world: World, canvas: Canvas): Middle => {
  const lines = jobLines(world);
  const items = lines.map((job) => {
    const style: Style = job.state === 'complete' ? 'quiet' : job.potLife ? 'outside' : 'plain';
    const name = job.side === undefined || job.title.includes(job.side) ? job.title : `${job.title}, ${job.side}`;
    const place =
      job.state === 'complete'
        ? 'complete'
        : `${job.number} of ${job.of}${job.state === 'open' ? '' : `, ${job.state}`}`;
    const waits = job.waitsFor.length > 0 && job.state !== 'complete' ? `waits for ${job.waitsFor[0] ?? ''}` : '';
    return { row: [span(name, style)], aside: [place, waits].filter((part) => part !== '').join(', ') };
  });
  const loose = looseStatus(world.build);
  const gates = [...new Set(loose.map((one) => one.before))].map(
    (gate) => `${gate} ${loose.filter((one) => one.before === gate).reduce((sum, one) => sum + one.open, 0)}`,
  );
  return {
    left: [
      mark('dryfit', 'strong'),
      span(world.build.file.aircraft['name'] === undefined ? '' : `  ${world.build.file.aircraft['name']}`, 'quiet'),
    ],
    text: [
      ...title(lines.length === 0 ? 'No job yet' : 'Jobs', canvas.width),
      ...(gates.length > 0 ? paragraph(`Loose, by gate: ${gates.join(', ')}`, canvas.width, 'person', 2) : []),
      ...(world.build.scripted
        ? paragraph('This state is scripted: nothing in it was done.', canvas.width, 'person')
        : []),
    ],
    list: { items: [...items, { row: row('start a job', 'strong') }], selected: Math.min(page.selected, lines.length) },
    work: pointedAt(lines[page.selected], world, canvas.width),
    said: toldRows(session.told, canvas.marks, canvas.width, world.now),
    hints: [hint('enter', 'open'), hint('1 to 9', 'open'), menu],
  };
};

/** Where a procedure is done for each side, both stand for it: `Strut bolts, left/right side`. */
const sided = ({ procedure }: Startable, text: string): string =>
  procedure && procedure.each.length > 0 ? text.replaceAll('<each>', procedure.each.join('/')) : text;

const proceduresView = (page: Of<'procedures'>, world: World, canvas: Canvas): Middle => ({
  left: [mark('Start a job', 'strong')],
  text:
    world.procedures.length === 0
      ? paragraph('There is no procedure in the folder. `dryfit --procedures DIR` names another.', canvas.width)
      : [],
  list: {
    items: world.procedures.map((found) => ({
      row: [span(sided(found, found.title), found.fault ? 'quiet' : 'plain')],
      aside: found.fault ? 'has errors' : found.procedure ? `revision ${found.procedure.revision}` : '',
    })),
    selected: page.selected,
  },
  work: [],
  said: [],
  hints: [hint('enter', 'look at it'), back],
});

const needsRows = (page: Of<'start'>, world: World, { width, marks }: Canvas): readonly Row[] => {
  const found = world.procedures.find((one) => one.id === page.procedure);
  const procedure = found?.procedure;
  if (!procedure) return [];
  const { needs } = procedure;
  const names = (items: readonly string[]): string => items.join(', ');
  const shop = [needs.shop?.temperature?.text, needs.shop?.humidity?.text].filter((text) => text !== undefined);
  return [
    ...(procedure.purpose === undefined ? [] : paragraph(sided(found, procedure.purpose), width)),
    ...procedure.warnings.flatMap((text) => marked(marks.attention, `Warning: ${text}`, width, 'outside')),
    ...(needs.tools.length > 0 ? labelled('tools', names(needs.tools.map((one) => one.title ?? one.tool)), width) : []),
    ...(needs.materials.length > 0
      ? labelled('materials', names(needs.materials.map((one) => one.title ?? one.material)), width)
      : []),
    ...(needs.parts.length > 0
      ? labelled('parts', names(needs.parts.map((one) => `${one.quantity ?? 1} ${one.title ?? one.part}`)), width)
      : []),
    ...(shop.length > 0 ? labelled('shop', names(shop), width) : []),
    ...labelled('people', String(procedure.people), width),
    ...(procedure.takes ? labelled('hands-on', procedure.takes.text, width) : []),
    ...(procedure.after.length > 0 ? labelled('after', names(procedure.after.map((one) => one.procedure)), width) : []),
  ];
};

const startView = (page: Of<'start'>, world: World, canvas: Canvas): Middle => {
  const found = world.procedures.find((one) => one.id === page.procedure);
  const sides = sidesOf(found);
  const open = world.build.jobOrder
    .flatMap((id) => world.build.jobs[id] ?? [])
    .filter((job) => job.procedure === page.procedure && !job.completed);
  const one = sides.length === 1 && sides[0] === undefined;
  return {
    left: [mark('Start a job', 'strong')],
    text: [
      ...title(found ? sided(found, found.title) : page.procedure, canvas.width),
      ...needsRows(page, world, canvas),
    ],
    ...(one
      ? {}
      : {
          list: {
            items: sides.map((side) => ({
              row: row(`${side ?? ''}`),
              ...(open.some((job) => job.side === side) ? { aside: 'one is open' } : {}),
            })),
          },
        }),
    work: [],
    said: one && open.length > 0 ? [[mark(`${open.length} open already`, 'person')]] : [],
    hints: [one ? hint('enter', 'start') : hint(digits(sides.length), 'start that side'), back],
  };
};

const backView = (session: Session, page: Of<'back'>, world: World, canvas: Canvas): Middle => {
  const job = jobOf(world, page.job);
  if (!job) return { text: [], work: [], said: [], hints: [back] };
  const last = job.log.at(-1);
  const away = last ? world.now.ms - msOf(last.at) : 0;
  const long = away > 10 * 60_000;
  return {
    text: [
      ...title(isInterrupted(job) ? 'Coming back after an interruption' : 'Coming back', canvas.width),
      ...paragraph(
        last
          ? `Last entry ${spokenTime(msOf(last.at), world.now.ms, world.now.offset)}, ${spanWords(away)} ago. All that was taken is kept.`
          : '',
        canvas.width,
      ),
      ...paragraph(
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
    said: toldRows(session.told, canvas.marks, canvas.width, world.now),
    hints: [hint(digits(lastSteps(job).length), 'looked at again'), hint('enter', 'go on'), back],
  };
};

const formView = (session: Session, page: Of<'form'>, world: World, canvas: Canvas): Middle => {
  const question = questionAt(page.form, page.filled);
  const about = placedForm(world, jobOf(world, page.form.job), page.form);
  const live = about ? formSaid(about.here, about.step, about.part, page.form, page.filled, canvas) : [];
  return {
    text: [
      ...(page.form.title === question?.ask ? [] : title(page.form.title, canvas.width)),
      ...page.form.about.flatMap((text) => paragraph(text, canvas.width)),
    ],
    work: about
      ? formWork(about.here, about.step, about.part, page.form, page.filled, canvas)
      : plainWork(page.form, page.filled, canvas),
    said: page.filled.fault || live.length === 0 ? saidIn(page.filled, session, world, canvas) : live,
    hints: questionHints(question, page.filled),
  };
};

const menuTitles: Readonly<Record<MenuGroup, string>> = {
  all: 'Everything else',
  value: 'Values',
  correct: 'Correct a value',
  again: 'Take a value again',
  work: 'Work',
  loose: 'Loose items',
  stock: 'Tools and materials',
  people: 'People',
  screen: 'Screen',
  refused: '',
};

const menuView = (page: Of<'menu'>, world: World): Middle => {
  const items = menuItems(world, page.group, jobOf(world, page.job));
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
    hints: [hint('enter', 'open'), hint('1 to 9', 'open'), back],
  };
};

const passphraseView = (page: Of<'passphrase'>, world: World, canvas: Canvas): Middle => {
  const question: Question = {
    name: 'passphrase',
    ask: `${personName(world, page.person)}: your passphrase`,
    kind: 'secret',
    required: true,
  };
  return {
    text: [
      ...title('Your own key signs this', canvas.width),
      ...paragraph('It is used for this one act and then forgotten.', canvas.width),
    ],
    work: questionRows(question, { key: '', at: 0, answers: {}, field: page.field, selected: 0 }, canvas),
    said: page.wrong
      ? marked(canvas.marks.attention, 'the passphrase is not right; nothing was entered', canvas.width, 'person')
      : [],
    hints: [hint('enter', 'sign'), isEmpty(page.field) ? back : hint('esc', 'clear')],
  };
};

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
    hints: items.length > 0 ? [hint(digits(items.length), 'choose'), back] : [hint('enter', 'back')],
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
    hints: [hint('enter', 'list of jobs'), menu],
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
      return passphraseView(page, world, canvas);
    case 'refused':
      return refusedView(page, world, canvas);
    case 'done':
      return doneView(page, world, canvas);
  }
};
