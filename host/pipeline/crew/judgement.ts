/** Whether a condition holds now. */
export interface Judgement {
  readonly holds: boolean;
  /** Changes only with the thing itself, never with a number that flickers. */
  readonly detail: string;
}
