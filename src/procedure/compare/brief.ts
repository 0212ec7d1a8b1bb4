import type { Node } from './sheet.ts';

const longest = 160;

/** Said of most things, and worth a word only where it is otherwise. */
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

/** What was added or taken away, in few words: a step by its title, anything else by what it says. */
export const brief = (node: Node): string => {
  const title = node.is === 'group' ? node.fields['title'] : undefined;
  return cut(title?.is === 'leaf' ? title.text : partsOf(node, '').join('; '));
};
