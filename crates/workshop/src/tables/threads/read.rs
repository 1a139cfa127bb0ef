//! Reading the name of a thread as anyone may write it.
//!
//! The text falls into words and numbers. Words choose the series, the first
//! number is the size, the second the pitch or the threads to the inch. Every
//! thread that agrees with all of them is a candidate: one is the answer, more
//! are a [`Problem`].

use num_rational::Ratio;

use super::{Hand, MOST_STARTS, Series, SizeIs, Thread, all};
use crate::problem::Problem;
use crate::tables::near::{LISTED, nearest, quoted};

/// The thread of that name: `M3`, `M3x0.5`, `7BA`, `7 B.A.`, `1/4 x 26 BSF`,
/// `3/16 ME 40`, `#5-40`, `1/4-20 UNC`.
///
/// `LH` or `left hand` behind it is the thread wound the other way: `M6-LH`. `2 starts` is that of
/// which two run side by side: `M10x1 2 starts`, `2-start M10x1`; the number is that of the pitch,
/// not of the lead.
///
/// A metric size without a pitch is the coarse one (ISO 965-1). Everything else
/// that could mean two threads is refused.
///
/// # Errors
///
/// A [`Problem`] that lists the threads it could be, or the near ones when there
/// is none.
pub fn find(text: &str) -> Result<&'static Thread, Problem> {
    let asked = Asked::read(text);
    if let Some(starts) = asked.as_ref().map(|asked| asked.starts).filter(|n| !(1..=MOST_STARTS).contains(n))
    {
        return Err(Problem::new(format!("{} has {starts} starts", quoted(text)))
            .why(format!("a thread has from 1 to {MOST_STARTS} side by side"))
            .mend("count its beginnings on the end of the screw"));
    }
    let candidates: Vec<&'static Thread> = match &asked {
        Some(asked) => all().iter().filter(|thread| asked.means(thread)).collect(),
        None => Vec::new(),
    };
    match candidates[..] {
        [thread] => Ok(asked.map_or(thread, |asked| thread.wound_as(asked.hand, asked.starts))),
        [] => Err(unknown(text, asked.as_ref())),
        _ => Err(Problem::new(format!("{} could be more than one thread", quoted(text)))
            .why(format!("it fits {}", listed(&candidates)))
            .mend("write the series and the pitch or threads to the inch as well")),
    }
}

/// A name taken apart.
struct Asked {
    /// The series that the words allow; all when no word names one.
    series: Vec<Series>,
    /// True of a size marked `No.` or `#`.
    numbered: bool,
    /// True when the words say coarse or fine, or there is a second number.
    pitch_said: bool,
    hand: Hand,
    starts: u32,
    size: Ratio<i128>,
    count: Option<Ratio<i128>>,
}

impl Asked {
    /// Takes a name apart; nothing when it has a word that no thread uses, or
    /// not one or two numbers.
    fn read(text: &str) -> Option<Self> {
        let pieces = Pieces::of(text)?;
        let mut series = Series::ALL.to_vec();
        let (mut numbered, mut pitch_said, mut hand) = (pieces.hash, false, Hand::Right);
        for word in &pieces.words {
            let meant: &[Series] = match word.as_str() {
                "m" => &[Series::MetricCoarse, Series::MetricFine],
                "ba" => &[Series::Ba],
                "bsw" | "whitworth" | "whit" | "w" => &[Series::Bsw],
                "bsf" => &[Series::Bsf],
                "me" | "model" | "engineer" => &[Series::ModelEngineer],
                "brass" | "bsb" => &[Series::Brass],
                "bsp" | "bspp" | "g" | "pipe" => &[Series::Pipe],
                "unc" | "nc" => &[Series::Unc],
                "unf" | "nf" => &[Series::Unf],
                "coarse" => &[Series::MetricCoarse, Series::Unc],
                "fine" => &[Series::MetricFine, Series::Unf],
                "no" | "nº" | "number" => {
                    numbered = true;
                    continue;
                }
                "lh" | "left" => {
                    hand = Hand::Left;
                    continue;
                }
                "x" | "tpi" | "in" | "thread" | "hand" | "rh" | "right" => continue,
                _ => return None,
            };
            pitch_said |= matches!(word.as_str(), "coarse" | "fine");
            series.retain(|s| meant.contains(s));
        }
        let (size, count) = match pieces.numbers[..] {
            // A lone number without a series could be anything.
            [size] if series.len() < Series::ALL.len() => (size, None),
            [size, count] => (size, Some(count)),
            _ => return None,
        };
        let pitch_said = pitch_said || count.is_some();
        Some(Self { series, numbered, pitch_said, hand, starts: pieces.starts, size, count })
    }

    /// True when the name may mean this thread.
    fn means(&self, thread: &Thread) -> bool {
        let unsaid = thread.series == Series::MetricFine && !self.pitch_said;
        self.series.contains(&thread.series)
            && self.size == thread.size
            && self.count.is_none_or(|count| count == thread.count)
            && (!self.numbered || thread.size_is == SizeIs::Number)
            && !unsaid
    }
}

/// The words and numbers of a name.
struct Pieces {
    words: Vec<String>,
    numbers: Vec<Ratio<i128>>,
    hash: bool,
    starts: u32,
}

impl Pieces {
    /// Splits a text; nothing when it has a mark that no name has, or is longer
    /// than any name.
    fn of(text: &str) -> Option<Self> {
        const LONGEST: usize = 40;
        // `B.A.` and `t.p.i.` are words; the point of `.25` or `0.5` is not.
        let chars: Vec<char> = text.trim().to_lowercase().replace(['×', '*'], " x ").chars().collect();
        if chars.len() > LONGEST {
            return None;
        }
        let mut pieces = Self { words: Vec::new(), numbers: Vec::new(), hash: false, starts: 1 };
        let mut at = 0;
        while let Some(&c) = chars.get(at) {
            let next_is_digit = chars.get(at + 1).is_some_and(char::is_ascii_digit);
            let after_letter = at > 0 && chars[at - 1].is_alphabetic();
            if c.is_ascii_digit() || (c == '.' && next_is_digit && !after_letter) {
                let (number, used) = number(&chars[at..])?;
                pieces.numbers.push(number);
                at += used;
            } else if c.is_alphabetic() {
                let is_part = |c: &&char| c.is_alphabetic() || **c == '.';
                let run: String = chars[at..].iter().take_while(is_part).collect();
                at += run.chars().count();
                match run.replace('.', "").as_str() {
                    "start" | "starts" => pieces.starts = pieces.counted()?,
                    word => pieces.words.push(word.to_owned()),
                }
            } else {
                match c {
                    '#' | '№' => pieces.hash = true,
                    ' ' | '-' | '–' | '.' | ',' | '"' | '″' | '(' | ')' => {}
                    _ => return None,
                }
                at += 1;
            }
        }
        Some(pieces)
    }

    /// The number or word just before `starts`, which counts them; no size of the thread.
    fn counted(&mut self) -> Option<u32> {
        const WORDS: [(&str, u32); 7] =
            [("single", 1), ("one", 1), ("two", 2), ("double", 2), ("three", 3), ("triple", 3), ("four", 4)];
        let worded = self.words.last().and_then(|last| WORDS.iter().find(|(word, _)| word == last));
        if let Some(&(_, starts)) = worded {
            self.words.pop();
            return Some(starts);
        }
        let number = self.numbers.pop().filter(Ratio::is_integer)?;
        u32::try_from(number.to_integer()).ok()
    }
}

/// The number at the head of `chars` (`40`, `0.5`, `3/16`) and its length.
fn number(chars: &[char]) -> Option<(Ratio<i128>, usize)> {
    const MOST_DIGITS: usize = 6;
    let digits = |from: usize| chars[from..].iter().take_while(|c| c.is_ascii_digit()).count();
    let value = |from: usize, count: usize| -> Option<i128> {
        let text: String = chars[from..from + count].iter().collect();
        if count > MOST_DIGITS { None } else { text.parse().ok() }
    };
    let whole_len = digits(0);
    let whole = if whole_len == 0 { 0 } else { value(0, whole_len)? };
    let part_len = if chars.len() > whole_len { digits(whole_len + 1) } else { 0 };
    match chars.get(whole_len) {
        Some('.') if part_len > 0 => {
            let part = Ratio::new(value(whole_len + 1, part_len)?, 10_i128.pow(part_len as u32));
            Some((Ratio::from_integer(whole) + part, whole_len + 1 + part_len))
        }
        Some('/') => {
            let below = value(whole_len + 1, part_len).filter(|&below| below > 0)?;
            Some((Ratio::new(whole, below), whole_len + 1 + part_len))
        }
        _ => Some((Ratio::from_integer(whole), whole_len)),
    }
}

/// Nothing of that name: the near ones.
fn unknown(text: &str, asked: Option<&Asked>) -> Problem {
    let mut near: Vec<&'static Thread> = match asked {
        Some(asked) => all().iter().filter(|t| asked.series.contains(&t.series)).collect(),
        None => Vec::new(),
    };
    if let Some(asked) = asked {
        let gap = |a: Ratio<i128>, b: Ratio<i128>| if a > b { a - b } else { b - a };
        near.sort_by_key(|t| (gap(t.size, asked.size), asked.count.map(|c| gap(t.count, c))));
        near.truncate(LISTED);
    }
    let names = if near.is_empty() {
        nearest(text, all().iter().map(|t| t.designation.as_str())).join(", ")
    } else {
        listed(&near)
    };
    Problem::new(format!("there is no thread {}", quoted(text)))
        .why(format!("the tables have none of that name; the nearest are {names}"))
        .mend("write it as `M3`, `M8x1`, `7 BA`, `1/4 BSW`, `3/16 x 40 ME` or `5-40 UNC`, with `LH` behind it where it is left-handed, `2 starts` where two run side by side")
}

/// Designations, in a row.
fn listed(threads: &[&Thread]) -> String {
    let names: Vec<&str> = threads.iter().map(|t| t.designation.as_str()).collect();
    names.join(", ")
}
