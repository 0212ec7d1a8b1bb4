import { useSyncExternalStore, type ReactNode } from 'react';
import type { Marks } from '../drawing/marks.ts';
import type { Bench } from '../run.ts';
import { themes } from '../theme.ts';
import type { Size } from '../view/frame.ts';
import { BenchScreen } from './bench-screen.tsx';
import { DeskScreen } from './desk-screen.tsx';

interface AppProps {
  readonly bench: Bench;
  readonly size: () => Size;
  readonly marks: Marks;
}

/** The one component that knows the bench. It draws the current frame. */
export const App = ({ bench, size, marks }: AppProps): ReactNode => {
  const frame = useSyncExternalStore(bench.subscribe, bench.frame);
  const theme = themes[bench.session().theme];
  return frame.kind === 'desk' ? (
    <DeskScreen frame={frame} size={size()} theme={theme} marks={marks} />
  ) : (
    <BenchScreen frame={frame} size={size()} theme={theme} />
  );
};
