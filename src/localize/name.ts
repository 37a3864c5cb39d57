import type { Lesion } from './lesion.ts';
import type { LocalizeMessages } from './messages/argument.ts';

/** Diseases that are of both sides by nature are named without a side. */
const sideless = new Set([
  'no-lesion',
  'conus',
  'motor-neuron',
  'polyneuropathy',
  'junction',
  'muscle',
  'systemic',
]);

/** "L5 root, left". */
export function lesionName(
  { focus, side }: Pick<Lesion, 'focus' | 'side'>,
  messages: LocalizeMessages,
): string {
  const name = messages.focus(focus);
  if (sideless.has(focus.group) || side === 'none') return name;
  if (focus.group === 'cord' && side === 'both') return name;
  return messages.sided(name, side);
}
