export { openLibrary, queueFor, randomId, watchPage } from './browser';
export { createMemoryStore, type MemoryStoreOptions } from './memory';
export { createSaveQueue, type QueueDeps } from './queue';
export * from './types';
