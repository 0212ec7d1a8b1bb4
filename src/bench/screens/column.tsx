import { Box } from 'ink';
import type { ReactNode } from 'react';
import type { Row } from '../drawing/rows.ts';
import type { Theme } from '../theme.ts';
import { LineView } from './line.tsx';

interface ColumnProps {
  readonly rows: readonly Row[];
  readonly width: number;
  readonly theme: Theme;
}

/** Rows one below the other. Each is known by its place: a row that changes is the same row with other words. */
export const ColumnView = ({ rows, width, theme }: ColumnProps): ReactNode => (
  <Box flexDirection="column" width={width} flexShrink={0}>
    {rows.map((row, index) => (
      // oxlint-disable-next-line react/no-array-index-key -- rows have no other name than their place
      <LineView key={index} row={row} theme={theme} />
    ))}
  </Box>
);
