import { Text } from 'ink';
import type { ReactNode } from 'react';
import type { Row, Span } from '../drawing/rows.ts';
import type { Theme } from '../theme.ts';

const look = (span: Span, theme: Theme, index: number): ReactNode => {
  const { colour, bold, dim } = theme[span.style];
  if (colour === undefined && !bold && !dim) return span.text;
  return (
    <Text key={index} {...(colour === undefined ? {} : { color: colour })} bold={bold === true} dimColor={dim === true}>
      {span.text}
    </Text>
  );
};

/** One row, which already fits its width. An empty one still takes up a row. */
export const LineView = ({ row, theme }: { readonly row: Row; readonly theme: Theme }): ReactNode => (
  <Text wrap="truncate-end">{row.length === 0 ? ' ' : row.map((span, index) => look(span, theme, index))}</Text>
);
