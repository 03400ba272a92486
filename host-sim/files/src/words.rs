//! Enums whose cases have words in a file that people write.

/// Makes an enum from its cases and their words: `WORDS` is what a reader takes, `word` what a printer writes.
macro_rules! words {
    ($(#[$about:meta])* $name:ident { $($(#[$case_about:meta])* $case:ident = $word:literal,)+ }) => {
        $(#[$about])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
        pub enum $name {
            $($(#[$case_about])* $case,)+
        }

        impl $name {
            /// Every case with its word in a file.
            pub const WORDS: &'static [(&'static str, Self)] = &[$(($word, Self::$case)),+];

            /// Its word in a file.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$case => $word,)+
                }
            }
        }
    };
}

pub(crate) use words;
