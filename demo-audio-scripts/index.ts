export { type Placed, type Rendering, renderScript } from './render.ts';
export {
  type ExpectedSite,
  expectedRecord,
  type Line,
  parseFinding,
  parseScript,
  type Said,
  type Script,
  ScriptFault,
} from './script.ts';
export { scripts } from './scripts.ts';
export { speaker } from './speaker.ts';
