//! What the page may do: the security headers, which the server sends and the service worker sets too.
//!
//! A worker obeys the header of its own script and not the `<meta>` of the page that started it,
//! so every file carries the headers.

/// The content security policy without `frame-ancestors`, which a `<meta>` cannot set.
const RULES: &[&str] = &[
    "default-src 'none'",
    "script-src 'self' 'wasm-unsafe-eval'",
    "style-src 'self'",
    "img-src 'self' blob: data:",
    "media-src blob: 'self'",
    "worker-src 'self'",
    "connect-src 'self'",
    "manifest-src 'self'",
    "font-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
];

/// The policy for a `<meta>`.
pub fn meta_policy() -> String {
    RULES.join("; ")
}

/// The policy for a header.
pub fn header_policy() -> String {
    format!("{}; frame-ancestors 'none'", meta_policy())
}

/// The security headers as names and values, in the order of sending.
pub fn headers() -> Vec<(&'static str, String)> {
    vec![
        ("Content-Security-Policy", header_policy()),
        ("Cross-Origin-Opener-Policy", "same-origin".to_owned()),
        ("Cross-Origin-Embedder-Policy", "require-corp".to_owned()),
        ("Cross-Origin-Resource-Policy", "same-origin".to_owned()),
        ("X-Content-Type-Options", "nosniff".to_owned()),
        ("Referrer-Policy", "no-referrer".to_owned()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_allowed_by_default() {
        assert!(header_policy().starts_with("default-src 'none'; "));
    }

    #[test]
    fn no_rule_allows_another_origin_or_inline_code() {
        for rule in RULES {
            for source in rule.split(' ').skip(1) {
                let known = ["'none'", "'self'", "'wasm-unsafe-eval'", "blob:", "data:"];
                assert!(known.contains(&source), "{rule}");
            }
        }
        for rule in
            RULES.iter().filter(|rule| rule.starts_with("connect") || rule.starts_with("worker"))
        {
            assert!(rule.ends_with(" 'self'") && rule.split(' ').count() == 2, "{rule}");
        }
    }

    #[test]
    fn no_page_may_frame_this_one_and_only_the_header_says_so() {
        assert!(header_policy().ends_with("frame-ancestors 'none'"));
        assert!(!meta_policy().contains("frame-ancestors"));
    }
}
