export * from './contract.ts';
export { type Level, type Levels, levelsOf } from './levels.ts';
export {
  type Depth,
  fullDepth,
  type Localizer,
  localize,
  prepare,
  startLocalizer,
} from './localize.ts';
export { type LocalizeMessages, localizeMessages } from './messages/argument.ts';
export { type PlaceMessages, placeMessages } from './messages/places.ts';
export * from './pathway.ts';
export * from './result.ts';
