/** From the pipeline's own events to what the conditions of hold points are judged by. */
import type { PipelineEvent } from '../../../protocol/index.ts';
import type { Facts } from './state.ts';

export const AIR_CHANNELS: readonly string[] = ['airTemperature', 'airPressure', 'airHumidity'];

/** @returns the facts themselves where the event says nothing that a condition asks for */
export function withEvent(facts: Facts, event: PipelineEvent): Facts {
  switch (event.type) {
    case 'samples': {
      if (!AIR_CHANNELS.includes(event.channel)) return facts;
      const newestNs = Math.min(event.atNs, event.fromNs + (event.valuesSi.length - 1) * event.periodNs);
      return { ...facts, airAtNs: { ...facts.airAtNs, [event.channel]: newestNs } };
    }
    case 'fill':
      return { ...facts, fill: event };
    case 'vacuum':
      return { ...facts, vacuum: event };
    case 'health':
      return { ...facts, healths: { ...facts.healths, [event.channel]: event.health } };
    case 'link':
      return { ...facts, links: { ...facts.links, [event.source]: event.change } };
    case 'inputs':
      return facts.inputs[event.source] === event.active ? facts : { ...facts, inputs: { ...facts.inputs, [event.source]: event.active } };
    default:
      return facts;
  }
}
