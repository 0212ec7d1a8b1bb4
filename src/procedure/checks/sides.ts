import { messageAt } from '../message.ts';
import type { Tree } from '../tree.ts';
import { valueOf } from '../tree.ts';
import type { Check } from './checking.ts';

const texts = function* (tree: Tree): Generator<Extract<Tree, { kind: 'text' }>> {
  if (tree.kind === 'text') yield tree;
  if (tree.kind === 'list') for (const item of tree.items) yield* texts(item);
  if (tree.kind === 'map') for (const { value } of tree.entries) yield* texts(value);
};

/** Reports `<each>`, which stands for a side, in a procedure without sides. */
export const checkSides: Check = ({ subject }) => {
  if (valueOf(subject.tree, 'each') !== undefined) return;
  for (const node of texts(subject.tree))
    if (node.text.includes('<each>'))
      subject.messages.push(
        messageAt(
          subject.file,
          node,
          'each-missing',
          '<each> stands for a side, and the procedure has none',
          'add each: [left, right], or write the word',
        ),
      );
};
