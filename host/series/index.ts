export { AskError, ask } from './ask.ts';
export type { Batch, DeliveryCounts, DeliveryPorts, Source } from './delivery.ts';
export { Delivery, RETURN_EVERY_MS, SETTLED_AFTER_MS } from './delivery.ts';
export { FLEET_DAYS, FLEET_SHOTS, readFleet } from './fleet/read-fleet.ts';
export { lookAtServer, passedOver, type ServerLook } from './look-at-server.ts';
export { PickySender, type Refusal } from './refusals.ts';
export { BATCH_BYTES_MAX, BATCH_LINES_MAX, IN_FLIGHT_MAX, type LineSender, lineSender } from './sender.ts';
export { dialectOf, placeText, readBase, type SeriesServer } from './server.ts';
export { tornWarnings } from './torn-line.ts';
