/** An edge at a gate, in time since the firing. */
export interface TimedEdge {
  /** Index into the rig's gates. */
  readonly gateIndex: number;
  readonly active: boolean;
  readonly timeS: number;
}
