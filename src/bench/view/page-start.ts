import { mark, paragraphRows, row, span, type Row } from '../drawing/rows.ts';
import type { Startable, BenchFacts } from '../ports.ts';
import { sidesOf } from '../session/press-jobs.ts';
import type { Pages, Session } from '../session/state.ts';
import { backHint, digits, hint, labelled, marked, title, type Canvas, type PageContent } from './page.ts';
import { jobsOfProcedure } from '../../aircraft/state.ts';

/** A text of a procedure that is done for each side, with both sides in it: `Strut bolts, left/right side`. */
const sided = ({ procedure }: Startable, text: string): string =>
  procedure && procedure.each.length > 0 ? text.replaceAll('<each>', procedure.each.join('/')) : text;

export const proceduresView = (
  _session: Session,
  page: Pages['procedures'],
  facts: BenchFacts,
  canvas: Canvas,
): PageContent => ({
  left: [mark('Start a job', 'strong')],
  text:
    facts.procedures.length === 0
      ? paragraphRows('There is no procedure in the folder. `dryfit --procedures DIR` names another.', canvas.width)
      : [],
  list: {
    items: facts.procedures.map((found) => ({
      row: [span(sided(found, found.title), found.fault ? 'quiet' : 'plain')],
      aside: found.fault ? 'has errors' : found.procedure ? `revision ${found.procedure.revision}` : '',
    })),
    selected: page.selected,
  },
  work: [],
  said: [],
  hints: [hint('enter', 'look at it'), backHint],
});

const needsRows = (page: Pages['start'], facts: BenchFacts, { width, marks }: Canvas): readonly Row[] => {
  const found = facts.procedures.find((one) => one.id === page.procedure);
  const procedure = found?.procedure;
  if (!procedure) return [];
  const { gather: needs } = procedure;
  const names = (items: readonly string[]): string => items.join(', ');
  const above = needs.shop?.aboveDewPoint?.text;
  const shop = [
    needs.shop?.temperature?.text,
    needs.shop?.humidity?.text,
    above === undefined ? undefined : `${above} above the dew point`,
  ].filter((text) => text !== undefined);
  return [
    ...(procedure.purpose === undefined ? [] : paragraphRows(sided(found, procedure.purpose), width)),
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

export const startView = (_session: Session, page: Pages['start'], facts: BenchFacts, canvas: Canvas): PageContent => {
  const found = facts.procedures.find((one) => one.id === page.procedure);
  const sides = sidesOf(found);
  const open = jobsOfProcedure(facts.build, page.procedure).filter((job) => !job.completed);
  const one = sides.length === 1 && sides[0] === undefined;
  return {
    left: [mark('Start a job', 'strong')],
    text: [
      ...title(found ? sided(found, found.title) : page.procedure, canvas.width),
      ...needsRows(page, facts, canvas),
    ],
    ...(one
      ? {}
      : {
          list: {
            items: sides.map((side) => ({
              row: row(side ?? ''),
              ...(open.some((job) => job.side === side) ? { aside: 'one is open' } : {}),
            })),
          },
        }),
    work: [],
    said: one && open.length > 0 ? [[mark(`${open.length} open already`, 'person')]] : [],
    hints: [one ? hint('enter', 'start') : hint(digits(sides.length), 'start that side'), backHint],
  };
};
