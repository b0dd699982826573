package android.content;

/** Stands in for Android's class of this name, which gobind's Seq mentions. */
public class Context {}
