import { Box } from 'ink';
import type { ReactNode } from 'react';
import type { Theme } from '../theme.ts';
import type { Frame, Size } from '../view/frame.ts';
import { ColumnView } from './column.tsx';

interface ScreenProps {
  readonly frame: Frame;
  readonly size: Size;
  readonly theme: Theme;
}

/** The bench view: everything one below the other, over the whole width. It also says when the terminal is too small. */
export const BenchScreen = ({ frame, size, theme }: ScreenProps): ReactNode => (
  <Box flexDirection="column" width={size.columns} height={size.rows} overflow="hidden">
    <ColumnView rows={[...frame.head, ...frame.main, ...frame.foot]} width={size.columns} theme={theme} />
  </Box>
);
