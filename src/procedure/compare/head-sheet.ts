import type { Needs, Procedure } from '../model.ts';
import { amountsLeaf, group, type Group, limitsLeaf, listOf, names, plain, texts, timeLeaf, words } from './sheet.ts';

const needsSheet = ({ tools, materials, parts, shop }: Needs): Group =>
  group({
    tools: listOf(
      'ids',
      tools.map((need) => ({
        id: need.tool,
        node: group({ title: words(need.title), 'in-date': plain(need.inDate) }),
      })),
    ),
    materials: listOf(
      'ids',
      materials.map((need) => ({
        id: need.material,
        node: group({ title: words(need.title), lot: plain(need.lot), 'in-date': plain(need.inDate) }),
      })),
    ),
    parts: listOf(
      'ids',
      parts.map((need) => ({
        id: need.part,
        node: group({ title: words(need.title), quantity: plain(need.quantity), serial: plain(need.serial) }),
      })),
    ),
    shop: group({
      temperature: limitsLeaf(shop?.temperature),
      humidity: limitsLeaf(shop?.humidity),
      'above-dew-point': limitsLeaf(shop?.aboveDewPoint),
    }),
  });

type Head = Omit<Procedure, 'steps'>;

/** Everything of a procedure but its steps. */
export const headSheet = (head: Head): Group => {
  const { manual, answers } = head;
  return group({
    procedure: plain(head.procedure),
    title: words(head.title),
    revision: plain(head.revision),
    manual: group({
      document: plain(manual?.document),
      section: plain(manual?.section),
      revision: plain(manual?.revision),
      date: plain(manual?.date),
    }),
    purpose: words(head.purpose),
    each: names(head.each),
    after: listOf(
      'ids',
      head.after.map((after) => ({
        id: after.procedure,
        node: group({ 'not-older': timeLeaf(after.notOlder), 'same-lot': plain(after.sameLot) }),
      })),
    ),
    answers: answers && group({ bulletin: plain(answers.bulletin), of: plain(answers.of) }),
    strict: plain(head.strict),
    takes: timeLeaf(head.takes),
    people: plain(head.people),
    needs: needsSheet(head.needs),
    charts: listOf(
      'ids',
      head.charts.map(({ chart, of }) => ({
        id: chart,
        node: amountsLeaf(
          of.map(({ x, y }) => `${x.text}, ${y.text}`).join(', '),
          of.flatMap(({ x, y }) => [x, y]),
        ),
      })),
    ),
    warnings: texts(head.warnings),
  });
};
