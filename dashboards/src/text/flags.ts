/** What a shot's flags mean, for the reader of a shot. */
import type { ShotFlag } from '../../../protocol/index.ts';

export interface FlagText {
  readonly title: string;
  readonly meaning: string;
}

export const FLAG_TEXT: Readonly<Record<ShotFlag, FlagText>> = {
  'no-trigger': {
    title: 'No trigger',
    meaning: 'No firing signal came. The time of firing is taken from the first gate edge or from the blow-down.',
  },
  'gate-missed': { title: 'Gate missed', meaning: 'At least one gate gave no usable passage; the speeds rest on the others.' },
  'edges-rejected': {
    title: 'Edges rejected',
    meaning: 'Some gate edges were not the projectile, such as film fragments or blast, and were left out. The time strip shows which.',
  },
  'one-edge-only': {
    title: 'One edge only',
    meaning: 'At a gate only the arrival or only the departure could be used, or an occlusion was too long and only bounds the passage.',
  },
  'software-timed': {
    title: 'Timed by software',
    meaning: 'A board’s program stamped an edge at a gate, not its capture hardware. The speeds are wider by what the rig file allows it.',
  },
  'gate-rejected': {
    title: 'Gate rejected',
    meaning: 'One gate disagreed with all the others by far more than its uncertainty and was left out.',
  },
  'gate-doubtful': {
    title: 'Gates disagree',
    meaning: 'The gates disagree by more than their uncertainties explain, and none of them stands out. Do not trust the speeds.',
  },
  'far-off-axis': {
    title: 'Far off axis',
    meaning: 'The projectile passed more than half its radius from a beam, or what passed is smaller than the projectile.',
  },
  'chords-differ': {
    title: 'Chords differ',
    meaning: 'The gates saw lengths of the projectile that differ too much: it yawed, broke, was another one, or one gate saw a fragment.',
  },
  'drag-not-resolved': {
    title: 'Drag not resolved',
    meaning: 'The gates say hardly more of the drag than the published curve; the drag coefficient is mostly that curve.',
  },
  'faster-than-possible': {
    title: 'Faster than possible',
    meaning: 'The gas in the reservoir could not have driven the projectile so fast. Check the rig file, the units and the fill.',
  },
  'no-velocity': { title: 'No velocity', meaning: 'Too few gates saw the projectile for any speed.' },
  'single-pair': {
    title: 'Single pair',
    meaning: 'Only one gate pair could be used: the drag is assumed and the uncertainty of the muzzle and target speeds is wider.',
  },
  'air-assumed': {
    title: 'Air assumed',
    meaning: 'No air reading was at hand. The rig file’s assumed air was used, and Mach and drag are wider for it.',
  },
  'air-stale': { title: 'Air reading old', meaning: 'The newest air reading was older than the rig file allows.' },
  'air-in-sun': {
    title: 'Air sensor in the sun',
    meaning: 'The air sensor was warmed by the sun. Mach and drag are wider by as much as it had climbed; shade it.',
  },
  'air-outside-formula-range': {
    title: 'Air outside formula range',
    meaning: 'The air lies outside the range for which the formula of the speed of sound was made.',
  },
  'reservoir-missing': { title: 'No reservoir pressure', meaning: 'No reservoir reading was there at the firing.' },
  'reservoir-stale': { title: 'Reservoir reading old', meaning: 'The newest reservoir reading before the firing was old.' },
  'barrel-missing': { title: 'No barrel pressure', meaning: 'No barrel reading was there at the firing: the vacuum is not known.' },
  'barrel-stale': { title: 'Barrel reading old', meaning: 'The newest barrel reading before the firing was old.' },
  'calibration-overdue': {
    title: 'Calibration past its date',
    meaning: 'A channel that this shot makes use of was due for calibration before the day of the firing.',
  },
  'clock-not-fitted': {
    title: 'Board clock not checked',
    meaning: 'The board’s clock was not yet compared with the host’s; its stated tolerance was used instead.',
  },
  'edges-lost-on-board': {
    title: 'Edges lost on the board',
    meaning: 'The board saw more edges than it could keep. Some are gone for good.',
  },
  'before-session': {
    title: 'Before this session',
    meaning: 'Its edges were on the board before this session heard it; an earlier session may tell the same firing.',
  },
  'cut-short': {
    title: 'Cut short',
    meaning:
      'The session ended, the board started anew or the rig file changed before the shot was complete; the next session may tell it whole.',
  },
  'fetched-late': { title: 'Fetched late', meaning: 'Part of this shot was kept on the board and fetched after the link came back.' },
};

/** A store may hold shots of another version, and an open page may be older than the host. */
export const flagText = (flag: string): FlagText =>
  Object.hasOwn(FLAG_TEXT, flag)
    ? FLAG_TEXT[flag as ShotFlag]
    : { title: flag, meaning: 'This page does not know this flag: read docs/shot.md before you trust the shot.' };
