import { Box } from 'ink';
import type { ReactNode } from 'react';
import type { Marks } from '../drawing/marks.ts';
import { mark, type Row } from '../drawing/rows.ts';
import type { Theme } from '../theme.ts';
import type { Frame, Size } from '../view/frame.ts';
import { ColumnView } from './column.tsx';

interface ScreenProps {
  readonly frame: Frame;
  readonly size: Size;
  readonly theme: Theme;
  readonly marks: Marks;
}

/** The desk view: the same, with a column beside it for the next steps, the timers and what was entered. */
export const DeskScreen = ({ frame, size, theme, marks }: ScreenProps): ReactNode => {
  const divider = frame.main.map((): Row => [mark(` ${marks.divider} `, 'quiet')]);
  return (
    <Box flexDirection="column" width={size.columns} height={size.rows} overflow="hidden">
      <ColumnView rows={frame.head} width={size.columns} theme={theme} />
      <Box flexShrink={0}>
        <ColumnView rows={frame.main} width={frame.mainWidth} theme={theme} />
        <ColumnView rows={divider} width={3} theme={theme} />
        <ColumnView rows={frame.side} width={frame.sideWidth} theme={theme} />
      </Box>
      <ColumnView rows={frame.foot} width={size.columns} theme={theme} />
    </Box>
  );
};
