/* The clock of a cycle. It counts from the written time of first light, so a locked screen, a
   closed tab and midnight are nothing to it: what was due meanwhile is due when it is seen again.

   window.benchClock.marks(cycleHours)        -> [{hours, isEnd}]: each full hour, and the end
   window.benchClock.elapsed(ms)              -> "1:03:09"
   window.benchClock.ring(isEnd)              -> sounds and shakes, as far as the device lets it
   window.benchClock.unlock()                 -> lets it sound from now on; needs a touch */
(function () {
  "use strict";

  const two = (number) => String(number).padStart(2, "0");

  function marks(cycleHours) {
    const found = [];
    for (let hours = 1; hours < cycleHours - 1e-9; hours += 1) found.push({ hours, isEnd: false });
    return [...found, { hours: cycleHours, isEnd: true }];
  }

  function elapsed(ms) {
    const all = Math.max(0, Math.floor(ms / 1000));
    return Math.floor(all / 3600) + ":" + two(Math.floor(all / 60) % 60) + ":" + two(all % 60);
  }

  let sound = null;

  function unlock() {
    try {
      sound = sound || new (window.AudioContext || window.webkitAudioContext)();
      return Promise.resolve(sound.resume()).then(() => sound.state === "running", () => false);
    } catch (none) {
      return Promise.resolve(false);
    }
  }

  function beep(at, tone) {
    const swing = sound.createOscillator(), loud = sound.createGain(), from = sound.currentTime + at;
    swing.frequency.value = tone;
    loud.gain.setValueAtTime(0.0001, from);
    loud.gain.exponentialRampToValueAtTime(0.4, from + 0.03);
    loud.gain.exponentialRampToValueAtTime(0.0001, from + 0.45);
    swing.connect(loud).connect(sound.destination);
    swing.start(from);
    swing.stop(from + 0.5);
  }

  function ring(isEnd) {
    const times = isEnd ? 6 : 3;
    if (navigator.vibrate && navigator.userActivation && navigator.userActivation.hasBeenActive) {
      navigator.vibrate(Array(times * 2 - 1).fill(300));
    }
    if (!sound || sound.state !== "running") return false;
    for (let one = 0; one < times; one += 1) beep(one * 0.6, isEnd ? 990 : 660);
    return true;
  }

  window.benchClock = { marks, elapsed, ring, unlock };
})();
