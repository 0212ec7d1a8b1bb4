import type { Gather, Procedure } from '../model.ts';
import {
  amountsLeaf,
  groupField,
  type Group,
  limitsLeaf,
  listItems,
  names,
  plain,
  textItems,
  timeLeaf,
  words,
} from './sheet.ts';

const gatherSheet = ({ tools, materials, parts, shop }: Gather): Group =>
  groupField({
    tools: listItems(
      'ids',
      tools.map((need) => ({
        id: need.tool,
        node: groupField({ title: words(need.title), 'in-date': plain(need.inDate) }),
      })),
    ),
    materials: listItems(
      'ids',
      materials.map((need) => ({
        id: need.material,
        node: groupField({ title: words(need.title), lot: plain(need.lot), 'in-date': plain(need.inDate) }),
      })),
    ),
    parts: listItems(
      'ids',
      parts.map((need) => ({
        id: need.part,
        node: groupField({ title: words(need.title), quantity: plain(need.quantity), serial: plain(need.serial) }),
      })),
    ),
    shop: groupField({
      temperature: limitsLeaf(shop?.temperature),
      humidity: limitsLeaf(shop?.humidity),
      'above-dew-point': limitsLeaf(shop?.aboveDewPoint),
      'not-older': timeLeaf(shop?.notOlder),
    }),
  });

type Head = Omit<Procedure, 'steps'>;

/** The sheet of everything in a procedure but its steps. */
export const headSheet = (head: Head): Group => {
  const { manual, answers } = head;
  return groupField({
    procedure: plain(head.procedure),
    title: words(head.title),
    revision: plain(head.revision),
    manual: groupField({
      document: plain(manual?.document),
      section: plain(manual?.section),
      revision: plain(manual?.revision),
      date: plain(manual?.date),
    }),
    purpose: words(head.purpose),
    each: names(head.each),
    after: listItems(
      'ids',
      head.after.map((after) => ({
        id: after.procedure,
        node: groupField({ 'not-older': timeLeaf(after.notOlder), 'same-lot': plain(after.sameLot) }),
      })),
    ),
    answers: answers && groupField({ bulletin: plain(answers.bulletin), of: plain(answers.of) }),
    strict: plain(head.strict),
    takes: timeLeaf(head.takes),
    people: plain(head.people),
    gather: gatherSheet(head.gather),
    charts: listItems(
      'ids',
      head.charts.map(({ chart, of }) => ({
        id: chart,
        node: amountsLeaf(
          of.map(({ x, y }) => `${x.text}, ${y.text}`).join(', '),
          of.flatMap(({ x, y }) => [x, y]),
        ),
      })),
    ),
    warnings: textItems(head.warnings),
  });
};
