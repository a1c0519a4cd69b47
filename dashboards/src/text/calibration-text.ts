import type { ChannelSummary } from '../../../protocol/index.ts';

export interface CalibrationText {
  readonly text: string;
  readonly isOverdue: boolean;
}

/** @param now  an invalid date, before the host was heard, judges nothing */
export function calibrationText({ calibratedOn, calibrationDue }: ChannelSummary, now: Date): CalibrationText {
  const on = calibratedOn === undefined ? 'no date in the rig file' : `on ${calibratedOn}`;
  if (calibrationDue === undefined) return { text: on, isOverdue: false };
  // Due on a day is in time until that day is over.
  const isOverdue = !Number.isNaN(now.getTime()) && now.toISOString().slice(0, 10) > calibrationDue;
  return { text: isOverdue ? `${on}, OVERDUE since ${calibrationDue}` : `${on}, due ${calibrationDue}`, isOverdue };
}
