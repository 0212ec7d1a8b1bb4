import type { JobState } from '../../../job/state.ts';
import { item, look, type MenuItem } from './item.ts';

export const screenItems = (job: JobState | undefined): readonly MenuItem[] => [
  ...(job
    ? [look('steps of this job', 'steps'), look('values so far', 'values'), look('departures', 'departures')]
    : []),
  look('what runs', 'clocks'),
  look('loose items by gate', 'loose'),
  item('bench view', { kind: 'view', view: 'bench' }, 'large, one thing at a time'),
  item('desk view', { kind: 'view', view: 'desk' }, 'with what comes next'),
  item('view by size', { kind: 'view', view: 'by size' }),
  item('dark ground', { kind: 'theme', theme: 'dark' }),
  item('light ground', { kind: 'theme', theme: 'light' }),
  item('no colour', { kind: 'theme', theme: 'none' }),
  look('keys', 'keys'),
  look('cautions', 'cautions'),
  ...(job ? [item('list of jobs', { kind: 'jobs' })] : []),
  item('leave dryfit', { kind: 'leave' }),
];
