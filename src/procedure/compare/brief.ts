import type { Node } from './sheet.ts';

const longest = 160;

/** Values that most things have, left out of the summary. */
const usual: ReadonlySet<string> = new Set(['false', 'plain', 'stated', 'quantity', '1']);

const partsOf = (node: Node, key: string): readonly string[] => {
  if (node.is === 'leaf') {
    if (usual.has(node.text)) return [];
    return [key === '' || key === 'title' || key === 'ask' ? node.text : `${key} ${node.text}`];
  }
  if (node.is === 'list')
    return node.items.flatMap(({ id, node: item }) =>
      item.is === 'leaf' && item.text === id ? partsOf(item, key) : partsOf(item, [key, id].join(' ').trim()),
    );
  return Object.entries(node.fields).flatMap(([name, field]) => (field === undefined ? [] : partsOf(field, name)));
};

const cut = (text: string): string => (text.length > longest ? `${text.slice(0, longest - 1)}…` : text);

/** A few words about something that was added or taken away: the title of a step, the values of anything else. */
export const brief = (node: Node): string => {
  const title = node.is === 'group' ? node.fields['title'] : undefined;
  return cut(title?.is === 'leaf' ? title.text : partsOf(node, '').join('; '));
};
