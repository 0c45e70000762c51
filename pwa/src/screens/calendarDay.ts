/** A day as 2026-03-01 by this device's calendar. */
export const calendarDay = (date: Date): string =>
  [date.getFullYear(), date.getMonth() + 1, date.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
