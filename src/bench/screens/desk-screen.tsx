import { Box } from 'ink';
import type { ReactNode } from 'react';
import type { Marks } from '../parts/marks.ts';
import { mark, type Row } from '../parts/rows.ts';
import type { Theme } from '../theme.ts';
import type { Frame, Size } from '../view/frame.ts';
import { Column } from './column.tsx';

interface ScreenProps {
  readonly frame: Frame;
  readonly size: Size;
  readonly theme: Theme;
  readonly marks: Marks;
}

/** The desk view: the same middle, with a column beside it for what comes next, what runs and what was entered. */
export const DeskScreen = ({ frame, size, theme, marks }: ScreenProps): ReactNode => {
  const divider = frame.main.map((): Row => [mark(` ${marks.divider} `, 'quiet')]);
  return (
    <Box flexDirection="column" width={size.columns} height={size.rows} overflow="hidden">
      <Column rows={frame.head} width={size.columns} theme={theme} />
      <Box flexShrink={0}>
        <Column rows={frame.main} width={frame.mainWidth} theme={theme} />
        <Column rows={divider} width={3} theme={theme} />
        <Column rows={frame.side} width={frame.sideWidth} theme={theme} />
      </Box>
      <Column rows={frame.foot} width={size.columns} theme={theme} />
    </Box>
  );
};
