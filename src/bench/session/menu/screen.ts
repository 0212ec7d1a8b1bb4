import type { JobState } from '../../../job/state.ts';
import { item, info, type MenuItem } from './item.ts';

export const screenItems = (job: JobState | undefined): readonly MenuItem[] => [
  ...(job
    ? [info('steps of this job', 'steps'), info('values so far', 'values'), info('departures', 'departures')]
    : []),
  info('what runs', 'clocks'),
  info('loose items by gate', 'loose'),
  item('bench view', { kind: 'view', view: 'bench' }, 'large, one thing at a time'),
  item('desk view', { kind: 'view', view: 'desk' }, 'with what comes next'),
  item('view by size', { kind: 'view', view: 'by size' }),
  item('dark ground', { kind: 'theme', theme: 'dark' }),
  item('light ground', { kind: 'theme', theme: 'light' }),
  item('no colour', { kind: 'theme', theme: 'none' }),
  info('keys', 'keys'),
  info('cautions', 'cautions'),
  info('gate sheet', 'gate'),
  ...(job ? [item('list of jobs', { kind: 'jobs' })] : []),
  item('leave dryfit', { kind: 'leave' }),
];
