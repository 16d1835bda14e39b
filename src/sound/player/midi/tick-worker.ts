/** Milliseconds between two ticks. */
const EVERY = 50;

// A hidden page's own timers come once a second or once a minute; those of a worker come as they should.
setInterval(() => postMessage(null), EVERY);
