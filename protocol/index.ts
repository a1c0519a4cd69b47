export type {
  Acceptance,
  AgreementSummary,
  AgreementVerdict,
  AskedResult,
  CameraAgreementSummary,
  CameraAgreementVerdict,
  CriterionSummary,
  CriterionVerdict,
  DecisionRule,
  ShotAcceptance,
} from './acceptance.ts';
export { AGREEMENT_WHY, wholeVerdict, withCamerasAsked } from './asked.ts';
export type { CameraVerdict, CrossCheck, ShotCamera, Suspect, Suspicion } from './camera.ts';
export type { CameraTrack, PicturePoint } from './camera-track.ts';
export { TRACK_LIMITS } from './camera-track.ts';
export type {
  ActRefusedEvent,
  AdjustedEvent,
  CameraActEvent,
  CrewEvent,
  HoldPointState,
  HoldPointsEvent,
  Impact,
  ImpactsEvent,
  OffsetEvent,
  ShotCameraEvent,
  ShotExcludedEvent,
  ShotWeighedEvent,
  TextLinesEvent,
  TrackWithdrawnEvent,
} from './crew-events.ts';
export type { DragCurvePoint, DragGap, DragKind, DragPoint, DragReport, DragShot, ReferencePoint, TracedResult } from './drag.ts';
export type {
  BoardEvent,
  ClockEvent,
  InputsEvent,
  LinkEvent,
  NoteEvent,
  PipelineEvent,
  RequestEvent,
  RigRejectedEvent,
  SamplesEvent,
  SessionEvent,
  ShotEvent,
  WireCounters,
  WireEvent,
} from './events.ts';
export type { Fleet, FleetRig, FleetShot, FleetState } from './fleet.ts';
export type {
  Envelope,
  EnvelopeMessage,
  EventMessage,
  LiveBoard,
  LiveEvent,
  LiveMessage,
  RecordingMessage,
  RecordingState,
  ReplayMessage,
  SnapshotMessage,
} from './live.ts';
export type {
  MapBand,
  MapCurve,
  MapCurvePoint,
  MapExpectation,
  MapFill,
  MapKind,
  MapReading,
  MapRegion,
  MapReport,
  MapSession,
  MapShotPoint,
  MapSource,
  MapSuggestion,
} from './map.ts';
export type { Measured } from './measured.ts';
export type { ActAnswer, Adjustment, AdjustmentProposal, ChannelShown, Mass, OperatorAct, TargetPoint } from './operator.ts';
export type {
  ClockRecord,
  LineRecord,
  LinkChange,
  LinkRecord,
  OperatorRecord,
  PosternRecord,
  ReadingRecord,
  RecordKind,
  RigRecord,
  SessionNs,
} from './record.ts';
export { LINK_CHANGES } from './record.ts';
export type {
  ReplayAnswer,
  ReplayCommand,
  ReplayMark,
  ReplayMarkKind,
  ReplayMarks,
  ReplayShot,
  ReplaySpeed,
  ReplayState,
  SideReplay,
  SideReplayAnswer,
} from './replay.ts';
export { REPLAY_SPEED } from './replay.ts';
export type { BudgetLine, Result } from './result.ts';
export type { ComparedResult, ComparedShot, ComparedValue, RigComparison } from './rig-comparison.ts';
export type {
  BoardKind,
  BoardSummary,
  CameraSummary,
  ChannelRole,
  ChannelSummary,
  FillSummary,
  HoldCondition,
  HoldPointSummary,
  LauncherSummary,
  LimitSummary,
  Measure,
  RawFault,
  RigSummary,
  SiUnit,
  UncertainValue,
  VacuumSummary,
} from './rig-summary.ts';
export type { SeriesState } from './series.ts';
export type { DoorsState, PageClient, PageClients, RigFileCheck, RigFileInForce, RigFinding } from './set-up.ts';
export type {
  BlowDown,
  EdgeVerdict,
  GatePassage,
  Latched,
  PairVelocity,
  PressureTrace,
  Shot,
  ShotAir,
  ShotEdge,
  ShotExclusion,
  ShotFlag,
  ShotMass,
} from './shot.ts';
export type { CameraTold, ShotTableRow, StoredAct } from './shot-table.ts';
export { readTrack, TRACK_FILE_BYTES_MAX, type TrackProblem, type TrackRead } from './track-file.ts';
export type {
  BandVerdict,
  BlowDownEvent,
  FillEvent,
  FillPhase,
  Health,
  HealthEvent,
  Hold,
  LeakUp,
  LimitEvent,
  LimitState,
  Overshoot,
  PumpDown,
  Settling,
  VacuumEvent,
  VacuumPhase,
  WatchEvent,
  WeatherEvent,
  WeatherFlag,
  WeatherInput,
  WeatherRole,
} from './watch-events.ts';
export { decodeBoardLine, decodeHostLine, encodeMessage } from './wire/codec.ts';
export { crc16 } from './wire/crc16.ts';
export type { Decoded, Frame, WireFault, WireFaultCode } from './wire/frame.ts';
export { decodeFrame, encodeFrame, wireFault } from './wire/frame.ts';
export type { MessageLayout } from './wire/layout.ts';
export { wireLayout } from './wire/layout.ts';
export { WIRE } from './wire/limits.ts';
export type {
  Ack,
  Beat,
  BoardMessage,
  DataBlock,
  Edge,
  Gone,
  Hello,
  HostMessage,
  Message,
  Ping,
  Resend,
  ResetCause,
  Sequenced,
  Stamp,
  Who,
} from './wire/messages.ts';
