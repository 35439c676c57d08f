// Hours in the words of a page: pages and the worker load this same file, it is `self.hours`.
// clock : "24 Europe/Oslo", hours of the clock and the zone, as a page tells its reader's
(() => {
  const NEAR = { yesterday: -1, today: 0, tomorrow: 1 };

  const told = (ms, lang, clock, parts) => {
    const [cycle, timeZone] = clock.split(" ");
    const hour = { hour: cycle === "12" ? "numeric" : "2-digit", minute: "2-digit", hour12: cycle === "12" };
    return new Intl.DateTimeFormat(lang, { timeZone, ...(parts ?? hour) }).format(ms);
  };
  const day = (ms, lang, clock) => told(ms, lang, clock, { weekday: "short", day: "numeric", month: "short" });
  const at = (ms, lang, clock) => `${day(ms, lang, clock)}, ${told(ms, lang, clock)}`;

  // "today 18:30", read on another day, is no longer of today.
  const fixed = (text, ms, lang, clock) =>
    text.replace(/\b(yesterday|today|tomorrow)(?=,? \d)/g, (word) => {
      const [year, month, date] = told(ms, "sv", clock, { year: "numeric", month: "2-digit", day: "2-digit" }).split("-");
      return day(Date.UTC(year, month - 1, Number(date) + NEAR[word], 12), lang, "24 UTC"); // no night is 24 h for sure
    });

  const ago = (ms, lang) => {
    const minutes = Math.max(0, Math.round(ms / 60000));
    const [n, unit] = minutes < 90 ? [minutes, "minute"] : minutes < 2880 ? [Math.round(minutes / 60), "hour"] : [Math.round(minutes / 1440), "day"];
    return new Intl.RelativeTimeFormat(lang, { numeric: "auto" }).format(-n, unit);
  };

  self.hours = { told, at, fixed, ago };
})();
