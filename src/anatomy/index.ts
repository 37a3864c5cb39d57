export * from './arc.ts';
export * from './graph.ts';
export * from './muscle.ts';
export * from './nerve.ts';
export * from './served.ts';
export * from './share.ts';
export * from './skin.ts';
export * from './source.ts';
