//! The text of a decimal, split into its parts, and what can be wrong with it.

use super::FARTHEST_EXPONENT;
use thiserror::Error;

/// The parts of a decimal as written.
pub(super) struct Parts<'a> {
    pub(super) negative: bool,
    /// Digits before the point; may be empty when `fraction` isn't.
    pub(super) whole: &'a [u8],
    /// Digits after the point; may be empty when `whole` isn't.
    pub(super) fraction: &'a [u8],
    /// Held at ±[`FARTHEST_EXPONENT`].
    pub(super) exponent: i64,
}

/// Why a text is no decimal.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
pub enum DecimalError {
    /// Nothing there.
    #[error("is empty where a number is needed")]
    Empty,
    /// `nan`, `inf` and their like.
    #[error("is not a finite number")]
    NotFinite,
    /// A decimal comma.
    #[error("is no number: it has a comma in it")]
    Comma,
    /// Anything else.
    #[error("is no number")]
    NoNumber,
}

impl DecimalError {
    /// What to do about it, a sentence without a full stop.
    pub fn remedy(self) -> &'static str {
        match self {
            Self::Empty => "write a number such as 7.5 or -12",
            Self::NotFinite => "only finite numbers are readings; leave the field empty where nothing was measured",
            Self::Comma => "write the decimal mark as a point, such as 7.5, and no thousands separator",
            Self::NoNumber => "write digits with an optional sign, decimal point and exponent, such as -12.25; no unit",
        }
    }
}

/// Splits `[+-] digits [. digits] [e [+-] digits]`; at least one digit beside the point.
pub(super) fn split(text: &[u8]) -> Result<Parts<'_>, DecimalError> {
    if text.is_empty() {
        return Err(DecimalError::Empty);
    }
    let (negative, unsigned) = sign(text);
    let (whole, rest) = leading_digits(unsigned);
    let (fraction, rest) = match rest {
        [b'.', rest @ ..] => leading_digits(rest),
        rest => (&[][..], rest),
    };
    if whole.is_empty() && fraction.is_empty() {
        return Err(fault(unsigned));
    }
    let exponent = match rest {
        [] => 0,
        [b'e' | b'E', rest @ ..] => exponent(rest).ok_or_else(|| fault(unsigned))?,
        _ => return Err(fault(unsigned)),
    };
    Ok(Parts { negative, whole, fraction, exponent })
}

fn sign(text: &[u8]) -> (bool, &[u8]) {
    match text {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        rest => (false, rest),
    }
}

fn leading_digits(text: &[u8]) -> (&[u8], &[u8]) {
    text.split_at(text.iter().take_while(|byte| byte.is_ascii_digit()).count())
}

fn exponent(text: &[u8]) -> Option<i64> {
    let (negative, digits) = sign(text);
    if digits.is_empty() {
        return None;
    }
    let mut value = 0i64;
    for digit in digits {
        if !digit.is_ascii_digit() {
            return None;
        }
        value = value.saturating_mul(10).saturating_add(i64::from(digit - b'0')).min(FARTHEST_EXPONENT);
    }
    Some(if negative { -value } else { value })
}

fn fault(unsigned: &[u8]) -> DecimalError {
    let not_finite = [&b"nan"[..], b"inf", b"infinity", b"-nan", b"-inf"];
    if not_finite.iter().any(|word| unsigned.eq_ignore_ascii_case(word)) {
        DecimalError::NotFinite
    } else if unsigned.contains(&b',') && unsigned.iter().all(|byte| byte.is_ascii_digit() || b",.".contains(byte)) {
        DecimalError::Comma
    } else {
        DecimalError::NoNumber
    }
}
