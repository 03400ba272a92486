//! Who may look at the page.
//!
//! Why: the page is read-only, but the state of a site is nobody else's business, and a browser can be made to ask for
//! it by any page it shows. So the name that the browser believes to be talking to is checked (a page that rebinds its own
//! name to this address is refused), and beyond the loopback a token is asked for.
//! Invariants: a token is compared in constant time, over its hash, so that neither its length nor a part of it shows.
//! What it does not do: encrypt. On a network that others use, put something in front that does.

use std::net::{IpAddr, SocketAddr};
use subtle::ConstantTimeEq;

use sha2::{Digest, Sha256};

/// Fewest and most characters of a token.
const LENGTHS: std::ops::RangeInclusive<usize> = 16..=128;
/// Fewest different characters of a token.
const FEWEST_DIFFERENT: usize = 8;
/// Name of the cookie that keeps a token.
pub(super) const COOKIE: &str = "holdoff";

/// A token that opens the page.
#[derive(Clone, PartialEq, Eq)]
pub struct Token {
    text: String,
    hash: [u8; 32],
}

impl std::fmt::Debug for Token {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Token(..)")
    }
}

/// Why a text is no token.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum TokenError {
    /// Shorter than 16 characters or longer than 128.
    Length {
        /// Characters found.
        found: usize,
    },
    /// A character other than letters, digits, `-` and `_`.
    Character,
    /// It could be guessed: fewer than 8 different characters, or most of them follow the one before as in the alphabet.
    Weak,
}

impl Token {
    /// Checks a text.
    ///
    /// # Errors
    /// [`TokenError`].
    pub fn new(text: &str) -> Result<Self, TokenError> {
        let found = text.chars().count();
        if !LENGTHS.contains(&found) {
            return Err(TokenError::Length { found });
        }
        if !text.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_') {
            return Err(TokenError::Character);
        }
        if is_weak(text.as_bytes()) {
            return Err(TokenError::Weak);
        }
        Ok(Self { text: text.to_owned(), hash: Sha256::digest(text.as_bytes()).into() })
    }

    /// Whether what somebody gives is the token.
    fn is(&self, given: &str) -> bool {
        let given: [u8; 32] = Sha256::digest(given.as_bytes()).into();
        self.hash.ct_eq(&given).into()
    }

    /// As it stands in a cookie.
    pub(super) fn cookie(&self) -> String {
        format!("{COOKIE}={}; HttpOnly; SameSite=Strict; Path=/; Max-Age=2592000", self.text)
    }

    /// As it stands in an address.
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// Whether a text has few different characters, or is for the most part counted up or down.
fn is_weak(text: &[u8]) -> bool {
    let different: std::collections::BTreeSet<u8> = text.iter().map(u8::to_ascii_lowercase).collect();
    let counted = text.windows(2).filter(|pair| pair[0].abs_diff(pair[1]) <= 1).count();
    different.len() < FEWEST_DIFFERENT || 2 * counted > text.len()
}

/// What a request must bring.
#[derive(Clone, Debug)]
pub struct Guard {
    /// The token; `None` where none is asked for, which is on the loopback only.
    pub token: Option<Token>,
    /// Names under which the page is asked for, besides addresses and `localhost`.
    pub names: Vec<String>,
}

/// How a request is admitted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Admitted {
    /// It may look.
    Yes,
    /// Its path is the token: it gets a cookie.
    ByPath,
    /// It may not.
    No,
}

impl Guard {
    /// Whether an address can be listened on with these: beyond the loopback only with a token.
    pub fn suits(&self, address: SocketAddr) -> bool {
        self.token.is_some() || address.ip().is_loopback()
    }

    /// Whether the `Host` of a request is one that this page has: an address, `localhost`, or a name that was given.
    pub(super) fn knows_host(&self, host: Option<&str>) -> bool {
        let Some(host) = host else { return false };
        if host.parse::<SocketAddr>().is_ok() || host.parse::<IpAddr>().is_ok() {
            return true;
        }
        let name = match host.rsplit_once(':') {
            Some((name, port)) if !port.is_empty() && port.bytes().all(|byte| byte.is_ascii_digit()) => name,
            Some(_) | None => host,
        };
        let bare = name.strip_prefix('[').and_then(|name| name.strip_suffix(']'));
        bare.is_some_and(|bare| bare.parse::<IpAddr>().is_ok())
            || name.eq_ignore_ascii_case("localhost")
            || self.names.iter().any(|known| known.eq_ignore_ascii_case(name))
    }

    /// Whether a request may look, by its path, its cookies and its `Authorization`.
    pub(super) fn admits(&self, path: &str, cookies: Option<&str>, authorization: Option<&str>) -> Admitted {
        let Some(token) = &self.token else { return Admitted::Yes };
        if token.is(path.trim_matches('/')) {
            return Admitted::ByPath;
        }
        let bearer = authorization.and_then(|given| given.strip_prefix("Bearer "));
        let kept = cookies.into_iter().flat_map(|cookies| cookies.split(';')).find_map(|cookie| {
            let (name, value) = cookie.trim().split_once('=')?;
            (name == COOKIE).then_some(value)
        });
        match bearer.or(kept) {
            Some(given) if token.is(given.trim()) => Admitted::Yes,
            Some(_) | None => Admitted::No,
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Admitted, Guard, Token, TokenError};

    fn guard(token: Option<&str>) -> Guard {
        Guard { token: token.map(|text| Token::new(text).expect("a token")), names: vec!["office-pc".to_owned()] }
    }

    #[test]
    fn only_addresses_localhost_and_given_names_are_hosts() {
        let guard = guard(None);
        for host in
            ["127.0.0.1:8080", "127.0.0.1", "[::1]:8080", "localhost:9", "LOCALHOST", "office-pc:80", "192.168.1.7:80"]
        {
            assert!(guard.knows_host(Some(host)), "{host}");
        }
        for host in
            ["evil.example", "evil.example:80", "localhost.evil.example", "", ":80", "127.0.0.1.evil.example:80"]
        {
            assert!(!guard.knows_host(Some(host)), "{host}");
        }
        assert!(!guard.knows_host(None));
    }

    #[test]
    fn a_token_is_given_by_path_cookie_or_authorization() {
        let guard = guard(Some("k7Qw-2mZ_9xTr4Lb"));
        assert_eq!(guard.admits("/k7Qw-2mZ_9xTr4Lb/", None, None), Admitted::ByPath);
        assert_eq!(guard.admits("/", Some("a=b; holdoff=k7Qw-2mZ_9xTr4Lb"), None), Admitted::Yes);
        assert_eq!(guard.admits("/", None, Some("Bearer k7Qw-2mZ_9xTr4Lb")), Admitted::Yes);
        for (path, cookies, authorization) in [
            ("/", None, None),
            ("/k7Qw-2mZ_9xTr4L", None, None),
            ("/", Some("holdoff=k7Qw-2mZ_9xTr4LbX"), None),
            ("/", Some("other=k7Qw-2mZ_9xTr4Lb"), None),
            ("/", None, Some("k7Qw-2mZ_9xTr4Lb")),
            ("/", None, Some("Bearer ")),
        ] {
            assert_eq!(
                guard.admits(path, cookies, authorization),
                Admitted::No,
                "{path} {cookies:?} {authorization:?}"
            );
        }
    }

    #[test]
    fn beyond_the_loopback_a_token_is_asked_for() {
        let address = |text: &str| text.parse().expect("an address");
        assert!(guard(None).suits(address("127.0.0.1:80")) && guard(None).suits(address("[::1]:80")));
        assert!(!guard(None).suits(address("0.0.0.0:80")) && !guard(None).suits(address("192.168.1.7:80")));
        assert!(guard(Some("k7Qw-2mZ_9xTr4Lb")).suits(address("0.0.0.0:80")));
    }

    #[test]
    fn a_token_that_could_be_guessed_or_would_not_stand_in_a_path_is_none() {
        assert_eq!(Token::new("short"), Err(TokenError::Length { found: 5 }));
        assert_eq!(Token::new("with a blank in it and long"), Err(TokenError::Character));
        for weak in
            ["aaaaaaaaaaaaaaaaaaaa", "abcabcabcabcabcabc", "passwordpassword", "0123456789abcdef", "zyxwvutsrqponmlkj"]
        {
            assert_eq!(Token::new(weak), Err(TokenError::Weak), "{weak}");
        }
        assert!(!format!("{:?}", Token::new("k7Qw-2mZ_9xTr4Lb")).contains("k7Qw"));
    }
}
