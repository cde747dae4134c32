// Made from `server/reports/src/drawing/page.rs` by `DRYCALL_UPDATE=1 cargo test -p reports --test typescript`.

/** A place in a file, as the protocol writes it. */
export interface Location {
  uri: string;
  range: { start: { line: number; character: number }; end: { line: number; character: number } };
}

/** A unit's page in pieces of HTML. All text of a job in them is escaped; they hold no script and no style. */
export interface Pieces {
  /** Raised when the form changes so that a reader has to know. */
  format: number;
  /** The unit. */
  unit: string;
  /** The service that is shown. */
  service: string;
  /** The services there are. */
  services: string[];
  /** The first day of the week, `2027-03-05`. */
  from: string;
  /** The first day of the review period. */
  first: string;
  /** The last day of the review period. */
  last: string;
  /** The day to open, counted from the first, and its stretch. */
  day: number;
  /** The stretch of that day. */
  stretch: number;
  /** The site and what is said of the whole job. */
  job: string;
  /** All units, the worst first. */
  board: string;
  /** The answer for the unit, its cause, and what it comes to. */
  headline: string;
  /** The title of the week, and the week with its calls. */
  week: string;
  /** Why each stretch is what it is. */
  why: string;
  /** The year with the predicted dew point. */
  year: string;
  /** Where each call begins and ends. */
  ladder: string;
  /** What may be supposed otherwise. */
  choices: string;
  /** The week as a drawing that stands alone. */
  svg: string;
}
