/** An edge at a gate, in time since the firing. */
export interface TimedEdge {
  /** Index into the rig's gates. */
  readonly gateIndex: number;
  readonly active: boolean;
  readonly timeS: number;
  /** Stamped by the board's program and not by capture hardware. */
  readonly softwareTimed?: true;
}
